"""The least PDFs, written by hand: for readers of PDFs that must not trust them."""

from __future__ import annotations

import zlib


def small_pdf(files: dict[str, bytes], root: str = "", more: tuple[bytes, ...] = (), packed: bool = True) -> bytes:
    """Write the least PDF that carries files; `root` stands in its catalogue, `more` are objects from 10 on."""
    bodies: dict[int, bytes] = {2: b"<< /Type /Pages /Kids [] /Count 0 >>"}
    names, number = [], 3
    for name, data in files.items():
        raw = zlib.compress(data) if packed else data
        how = b"/Filter /FlateDecode " if packed else b""
        bodies[number] = b"<< /Type /EmbeddedFile %s/Length %d >>\nstream\n%s\nendstream" % (how, len(raw), raw)
        spec = f"<< /Type /Filespec /F ({name}) /UF ({name}) /EF << /F {number} 0 R >> /AFRelationship /Source >>"
        bodies[number + 1] = spec.encode()
        names.append(f"({name}) {number + 1} 0 R")
        number += 2
    tree = f"/Names << /EmbeddedFiles << /Names [{' '.join(names)}] >> >>" if names and "/Names" not in root else ""
    bodies[1] = f"<< /Type /Catalog /Pages 2 0 R {tree} {root} >>".encode()
    bodies |= {10 + i: body for i, body in enumerate(more)}
    return assembled(bodies)


def assembled(bodies: dict[int, bytes], trailer: str = "/Root 1 0 R") -> bytes:
    data = b"%PDF-1.7\n"
    places = {}
    for number in sorted(bodies):
        places[number] = len(data)
        data += b"%d 0 obj\n%s\nendobj\n" % (number, bodies[number])
    start = len(data)
    data += b"xref\n"
    for number, place in places.items():
        data += b"%d 1\n%010d 00000 n \n" % (number, place)
    return data + f"trailer\n<< /Size 99 {trailer} >>\nstartxref\n{start}\n%%EOF\n".encode()
