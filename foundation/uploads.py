"""Refuses a request whose announced length no honest form of ours can have."""

from typing import Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.core.files.uploadhandler import FileUploadHandler


class RefuseHugeRequests(FileUploadHandler):
    """First in line; lets everything through to the next handler but a request that is too long.

    A single photo over its own limit is answered by its form, in words; this guards the disk.
    """

    def handle_raw_input(
        self,
        input_data: Any,
        META: Any,  # noqa: N803 - the name Django passes it by
        content_length: int,
        boundary: str,
        encoding: str | None = None,
    ) -> None:
        """Raises RequestDataTooBig by the length alone, before anything is read."""
        if content_length > settings.REQUEST_MAX_BYTES:
            raise RequestDataTooBig(f"More than {settings.REQUEST_MAX_BYTES // 1024 // 1024} MB in one request.")

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        """Passes the data on."""
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leaves the file to the handlers that follow."""
