#!/usr/bin/env python3
"""Writes THIRD-PARTY.md: what of others' work is in the program, and under which licences. With
--check it only says whether the file is as it would be written. A licence that isn't listed here
ends the run: whoever adds it has read it."""

import json
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
FILE = ROOT / "THIRD-PARTY.md"

# The licences that may be used; of several that a package offers the first of these is taken.
ALLOWED = [
    "Apache-2.0", "MIT", "Zlib", "ISC", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "BSL-1.0",
    "Unicode-3.0", "CC0-1.0", "IJG", "Unlicense",
]  # fmt: skip

# For packages that say their licence and bring no text of it (SPDX licence list).
WITHOUT_TEXT = {
    "MIT": """Permission is hereby granted, free of charge, to any person obtaining a copy of this software and
associated documentation files (the "Software"), to deal in the Software without restriction,
including without limitation the rights to use, copy, modify, merge, publish, distribute,
sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is
furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial
portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT
NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND
NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES
OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN
CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.""",
    "BSD-3-Clause": """Redistribution and use in source and binary forms, with or without modification, are permitted
provided that the following conditions are met:

1. Redistributions of source code must retain the above copyright notice, this list of conditions
and the following disclaimer.

2. Redistributions in binary form must reproduce the above copyright notice, this list of conditions
and the following disclaimer in the documentation and/or other materials provided with the
distribution.

3. Neither the name of the copyright holder nor the names of its contributors may be used to endorse
or promote products derived from this software without specific prior written permission.

THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS" AND ANY EXPRESS OR
IMPLIED WARRANTIES, INCLUDING, BUT NOT LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND
FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT HOLDER OR
CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL
DAMAGES (INCLUDING, BUT NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE,
DATA, OR PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER
IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF
THE USE OF THIS SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE.""",
}


def packages():
    """What the program is built from on every system, ourselves left out."""
    command = ["cargo", "metadata", "--locked", "--format-version", "1"]
    read = json.loads(subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE).stdout)
    nodes = {node["id"]: node for node in read["resolve"]["nodes"]}
    root = read["resolve"]["root"]
    seen, left = set(), [root]
    while left:
        package = left.pop()
        if package not in seen:
            seen.add(package)
            for used in nodes[package]["deps"]:
                if any(kind["kind"] != "dev" for kind in used["dep_kinds"]):
                    left.append(used["pkg"])
    found = [package for package in read["packages"] if package["id"] in seen - {root}]
    return sorted(found, key=lambda package: (package["name"], package["version"]))


def taken(package):
    """The licences that are taken of those offered: one of each choice that a package gives."""
    said = (package["license"] or "").replace("/", " OR ")
    choices = [part.strip("() ").split(" OR ") for part in said.split(" AND ")]
    licences = []
    for choice in choices:
        allowed = [name for name in ALLOWED if name in choice]
        if not allowed:
            sys.exit(f"{package['name']} is under `{said}`, which nobody has allowed yet")
        licences.append(allowed[0])
    return licences


def texts(package, licences):
    """The texts that must go with a package, but the one of Apache-2.0, which all share. The Unlicense asks for none."""
    folder = pathlib.Path(package["manifest_path"]).parent
    begins = ("LICENSE", "LICENCE", "COPYING", "COPYRIGHT", "UNLICENSE")
    files = [file for file in sorted(folder.iterdir()) if file.name.upper().startswith(begins)]
    read = [file.read_text(errors="replace") for file in files if file.is_file()]
    own = [text for text in read if "Version 2.0, January 2004" not in text]
    wanted = [licence for licence in licences if licence not in ("Apache-2.0", "Unlicense")]
    if wanted and not own:
        who = ", ".join(package["authors"]) or f"the authors of {package['name']}"
        own = [f"Copyright (c) {who}\n\n{WITHOUT_TEXT[licence]}" for licence in wanted]
    return own if wanted else []


def part(text, begins, ends):
    """The part of a text from a line on, up to another."""
    start = text.index(begins)
    return text[start : text.index(ends, start)].strip()


def faces(found):
    """The licences of the faces, whose packages have another one for themselves."""
    place = {package["name"]: pathlib.Path(package["manifest_path"]).parent for package in found}
    notice = (place["typst-assets"] / "NOTICE").read_text()
    serif = part(notice, "* Libertinus Serif fonts", "=====")
    (dejavu,) = place["dejavu"].glob("assets/*/LICENSE")
    ours = ROOT / "templates" / "fonts"
    sans, mono = (ours / f"{name}-LICENCE.txt" for name in ("SourceSans3", "SourceCodePro"))
    return [
        ("Libertinus Serif, and Fretleaf Serif, its subsets: SIL Open Font License 1.1", serif),
        ("Source Sans 3: SIL Open Font License 1.1", sans.read_text()),
        ("Source Code Pro: SIL Open Font License 1.1", mono.read_text()),
        ("DejaVu Sans Condensed", dejavu.read_text()),
    ]


def fenced(text):
    lines = (line.rstrip() for line in text.replace("\t", "    ").splitlines())
    return "~~~~ text\n" + "\n".join(lines).strip("\n") + "\n~~~~\n"


def whole():
    found = packages()
    listed, shared = [], {}
    for package in found:
        licences = taken(package)
        listed.append(f"- {package['name']} {package['version']}: {' and '.join(licences)}")
        for text in texts(package, licences):
            key = " ".join(text.split())
            shared.setdefault(key, (text, []))[1].append(package["name"])
    out = ["# Third-party notices\n"]
    out.append(
        "Written by `.ci/third-party.py` from `Cargo.lock`. The program holds, or is built with, the\n"
        "packages below, each under the licence named; of several that a package offers one is taken.\n"
        "The handouts and pages that it writes embed subsets of the faces.\n"
    )
    out.append("## The faces\n")
    for name, text in faces(found):
        out += [f"### {name}\n", fenced(text)]
    out += ["## The packages\n", "\n".join(listed) + "\n", "## The licences\n"]
    out += ["### Apache-2.0\n", fenced((ROOT / "LICENSE-APACHE").read_text())]
    for text, names in sorted(shared.values(), key=lambda entry: entry[1]):
        out += [f"### {', '.join(sorted(set(names)))}\n", fenced(text)]
    return "\n".join(out)


if __name__ == "__main__":
    written = whole()
    if sys.argv[1:] == ["--check"]:
        if not FILE.exists() or FILE.read_text() != written:
            sys.exit("THIRD-PARTY.md is not what Cargo.lock asks for: run .ci/third-party.py")
    else:
        FILE.write_text(written)
