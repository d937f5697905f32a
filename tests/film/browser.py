"""A browser as judge of a film: a fingerprint of every picture it decodes, and pictures after seeking."""

from __future__ import annotations

import base64
import json
import subprocess
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import av
import numpy as np


@dataclass(frozen=True)
class Seen:
    """``hashes``: SHA-256 of each decoded picture as packed I420. ``sought``: RGB pictures, shape (n, h, w, 3)."""

    hashes: list[str]
    sought: np.ndarray


def seen_by_browser(
    program: str, film: Path, times: Sequence[float], size: tuple[int, int], profile: Path, wait_s: float = 300
) -> Seen:
    """Every picture of a film decoded by the browser's WebCodecs, and those shown after seeking, drawn at ``size``."""
    chunks = []
    with av.open(str(film)) as container:
        video = container.streams.video[0]
        extradata = bytes(video.codec_context.extradata)
        shape = (video.width, video.height)
        for packet in container.demux(video):
            if packet.size:
                chunks.append((bytes(packet), packet.is_keyframe))
    plan = {
        "codec": "avc1." + extradata[1:4].hex(),
        "width": shape[0],
        "height": shape[1],
        "description": base64.b64encode(extradata).decode(),
        "chunks": [(len(data), bool(key)) for data, key in chunks],
    }
    files = {
        "/": Path(__file__).with_name("browser.html").read_bytes(),
        "/chunks.json": json.dumps(plan).encode(),
        "/chunks.bin": b"".join(data for data, _ in chunks),
        "/times.json": json.dumps({"times": list(times), "width": size[0], "height": size[1]}).encode(),
        "/film.mp4": film.read_bytes(),
    }
    found = _in_browser(program, files, profile, wait_s)
    told = json.loads(found["/decoded.json"])
    assert told["fault"] is None, told["fault"]
    assert [f["time"] for f in told["frames"]] == list(range(len(chunks)))
    assert {f["format"] for f in told["frames"]} == {"I420"}
    sought = np.frombuffer(found["/sought.bin"], np.uint8).reshape(-1, size[1], size[0], 4)
    return Seen([f["hash"] for f in told["frames"]], sought[..., :3])


class _Page(BaseHTTPRequestHandler):
    """Serves the page and the film, takes what the browser found."""

    def log_message(self, *_: object) -> None:
        """Nothing on the terminal."""

    def do_GET(self) -> None:
        body = self.server.files.get(self.path)
        self.send_response(200 if body is not None else 404)
        self.send_header("Content-Type", "text/html" if self.path == "/" else "application/octet-stream")
        self.send_header("Content-Length", str(len(body or b"")))
        self.end_headers()
        self.wfile.write(body or b"")

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.found[self.path] = body
        self.send_response(204)
        self.end_headers()
        if self.path == "/end":
            self.server.ended.set()


def _in_browser(program: str, files: dict[str, bytes], profile: Path, wait_s: float) -> dict[str, bytes]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Page)
    server.files, server.found, server.ended = files, {}, threading.Event()
    serving = threading.Thread(target=server.serve_forever)
    serving.start()
    options = ("--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={profile}")
    url = f"http://127.0.0.1:{server.server_port}/"
    browser = subprocess.Popen([program, *options, url], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        assert server.ended.wait(wait_s), "the browser did not come to an end"
    finally:
        browser.terminate()
        browser.wait()
        server.shutdown()
        server.server_close()
        serving.join()
    assert server.found["/end"] == b"", server.found["/end"].decode()
    return server.found
