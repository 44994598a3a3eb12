// What a DXF library of another language reads in the files that are named: one JSON line each.
"use strict";
const fs = require("fs");
const Parser = require("dxf-parser");
const DxfParser = Parser.DxfParser || Parser.default || Parser;

for (const file of process.argv.slice(2)) {
    const dxf = new DxfParser().parseSync(fs.readFileSync(file, "latin1"));
    const told = {file, units: dxf.header["$INSUNITS"], closed: [], circles: [], lines: [], texts: 0, others: []};
    for (const e of dxf.entities) {
        if (e.type === "CIRCLE") {
            told.circles.push([e.layer, e.center.x, e.center.y, e.radius]);
        } else if (e.type === "LWPOLYLINE" && e.shape) {
            told.closed.push([e.layer, e.vertices.map((v) => [v.x, v.y, v.bulge || 0])]);
        } else if (e.type === "LINE") {
            told.lines.push([e.layer, ...e.vertices.flatMap((v) => [v.x, v.y])]);
        } else if (e.type === "TEXT") {
            told.texts += 1;
        } else {
            told.others.push(e.type);
        }
    }
    console.log(JSON.stringify(told));
}
