CHECKS = ()
