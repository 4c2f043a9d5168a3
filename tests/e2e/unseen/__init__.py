"""Three systems that no starter layout holds, as a person with the nameplates beside the phone would type them in."""
