"""What the office asks of one owed check, and what is answered. Neither is ever changed."""

from typing import ClassVar
from uuid import uuid4

from django.db import models
from django.db.models import Q

from commissioning.models.append_only import AppendOnlyModel, AppendOnlyQuerySet
from commissioning.models.measurement import Measurement
from commissioning.models.people import User
from commissioning.models.visit import Visit


class QuestionQuerySet(AppendOnlyQuerySet["Question"]):
    def open(self) -> "QuestionQuerySet":
        """Those that nobody has answered yet."""
        return self.filter(replies=None)


class Question(AppendOnlyModel):
    """A question about one owed check, sent back to whoever took it."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="questions")
    check_key = models.CharField(max_length=64)
    subject = models.CharField(max_length=40)
    measurement = models.ForeignKey(  # what stood there when it was asked
        Measurement, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    words = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    objects: ClassVar[QuestionQuerySet] = QuestionQuerySet.as_manager()  # type: ignore[assignment]

    class Meta:
        ordering = ["at"]
        indexes = [models.Index(fields=["visit", "check_key", "subject"], name="question_owed")]
        constraints = [models.CheckConstraint(condition=~Q(words=""), name="question_asked")]

    def __str__(self) -> str:
        return f"{self.check_key}:{self.subject}"

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it yet; asks no query where the replies are fetched already."""
        return not self.replies.all()


class Reply(AppendOnlyModel):
    """An answer in words, or the new reading that is the answer. Two phones may each bring one: both stay."""

    id = models.UUIDField(primary_key=True, default=uuid4)
    question = models.ForeignKey(Question, on_delete=models.PROTECT, related_name="replies")
    words = models.TextField(blank=True)
    measurement = models.ForeignKey(Measurement, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(condition=~Q(words="") | Q(measurement__isnull=False), name="reply_says_something")
        ]

    def __str__(self) -> str:
        return f"reply to {self.question_id}"
