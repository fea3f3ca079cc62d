"""The script that draws charts in the page: Vega without what our specs never use, the specs, and the licenses.

It comes from the very wheel that draws them for page and paper at build. The page asks for it on the
first edit only. Vega-Lite stays behind: its specs are compiled here.
"""

import hashlib
import json
from importlib.metadata import version
from pathlib import Path

import vl_convert

from pieces.charts import draw
from print.files import write

ROOT = Path(__file__).parent.parent
KEPT = ROOT / ".build" / "charts"
PLACE = Path("assets", "vega", "charts.js")

# The wheel carries Vega's own modules under these names; `vega` as a whole would bring maps, trees and forces.
PARTS = {
    "{parse}": "vega-parser@7.1.0",
    "{View}": "vega-view@6.1.0",
    "{transforms}": "vega-dataflow@6.1.0",
    "* as rows": "vega-transforms@5.1.0",
    "* as views": "vega-view-transforms@5.1.0",
    "* as encode": "vega-encode@5.1.0",
    "{expressionInterpreter}": "vega-interpreter@2.0.0",
}
IMPORTS = "".join(f'import {what} from "/npm/{part}/+esm";' for what, part in PARTS.items())
# Its own scope, for the bundle leaks one-letter names.
USE = "Object.assign(transforms,rows,views,encode);self.dieselVega={parse,View,expressionInterpreter};"
LICENSE = """/*! Vega (vega-parser, vega-view, vega-dataflow, vega-interpreter and their parts): Copyright (c) 2015-2023,
University of Washington Interactive Data Lab. All rights reserved. BSD 3-Clause License:

Redistribution and use in source and binary forms, with or without modification, are permitted provided that the following
conditions are met: 1. Redistributions of source code must retain the above copyright notice, this list of conditions and the
following disclaimer. 2. Redistributions in binary form must reproduce the above copyright notice, this list of conditions and
the following disclaimer in the documentation and/or other materials provided with the distribution. 3. Neither the name of the
copyright holder nor the names of its contributors may be used to endorse or promote products derived from this software without
specific prior written permission.

THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS" AND ANY EXPRESS OR IMPLIED WARRANTIES, INCLUDING, BUT
NOT LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL
THE COPYRIGHT HOLDER OR CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL DAMAGES
(INCLUDING, BUT NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR PROFITS; OR BUSINESS
INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE
OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF THIS SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE.

Parts of it are D3 (d3-array, d3-color, d3-dispatch, d3-format, d3-interpolate, d3-path, d3-scale, d3-shape, d3-time and others):
Copyright 2010-2023 Mike Bostock, and internmap: Copyright 2021 Mike Bostock. ISC License:

Permission to use, copy, modify, and/or distribute this software for any purpose with or without fee is hereby granted, provided
that the above copyright notice and this permission notice appear in all copies. THE SOFTWARE IS PROVIDED "AS IS" AND THE AUTHOR
DISCLAIMS ALL WARRANTIES WITH REGARD TO THIS SOFTWARE INCLUDING ALL IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS. IN NO EVENT
SHALL THE AUTHOR BE LIABLE FOR ANY SPECIAL, DIRECT, INDIRECT, OR CONSEQUENTIAL DAMAGES OR ANY DAMAGES WHATSOEVER RESULTING FROM
LOSS OF USE, DATA OR PROFITS, WHETHER IN AN ACTION OF CONTRACT, NEGLIGENCE OR OTHER TORTIOUS ACTION, ARISING OUT OF OR IN
CONNECTION WITH THE USE OR PERFORMANCE OF THIS SOFTWARE. */
"""


def place(site: Path) -> None:
    """Write the script into a site."""
    write(site / PLACE, script().encode())


def script() -> str:
    """The whole script; Vega's part is kept from build to build."""
    specs = {spec: json.loads(draw.compiled(spec)) for spec in map(draw.spec_of, draw.KINDS)}
    told = {"kinds": draw.KINDS, "tidy": draw.read("tidy"), "specs": specs}
    data = json.dumps(told, separators=(",", ":"), sort_keys=True)
    return f"{LICENSE}(()=>{{{_vega()}}})();\nself.dieselCharts.drawing(self.dieselVega,{data});\ndelete self.dieselVega;\n"


def _vega() -> str:
    key = hashlib.sha256(f"{version('vl-convert-python')}{IMPORTS}{USE}".encode()).hexdigest()[:16]
    kept = KEPT / f"{key}.js"
    if not kept.exists():
        KEPT.mkdir(parents=True, exist_ok=True)
        write(kept, vl_convert.javascript_bundle(IMPORTS + USE).encode())
    return kept.read_text("utf-8")
