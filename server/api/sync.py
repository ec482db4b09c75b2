"""Push and pull."""

from ninja import Router

router = Router()
