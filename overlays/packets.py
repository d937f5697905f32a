"""A name for PyAV's packets of any stream, for annotations."""

from __future__ import annotations

from typing import Any, TypeAlias

import av

AnyPacket: TypeAlias = "av.Packet[Any]"
