// The block of numbers of the whole skirt: parts, each a grid of points.

export interface Part {
  name: string;
  kind: string;
  rows: number;
  columns: number;
  piece: string;
  first: number; // of its points
}
export interface Letter {
  text: string;
  at: [number, number, number];
  out: [number, number, number];
}
export interface Solid {
  name: string; // "solid", or "kept:solid" of the kept variant
  revision: number;
  letters: Letter[]; // of the loop's seams, as on the templates
  ground: Record<"hover" | "touch" | "sit", number>; // its height [m]
  parts: Part[];
  points: Float32Array; // x forward, y to port, z up [m]
  shape: string; // the same where only the points differ
  index: Uint32Array;
}

export function readSolid(block: ArrayBuffer, before: Solid | null): Solid {
  const length = new DataView(block).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(block, 4, length)));
  const points = new Float32Array(block, 4 + length);
  let first = 0;
  const parts: Part[] = header.parts.map(([name, kind, rows, columns, piece]: [string, string, number, number, string]) => {
    const part = { name, kind, rows, columns, piece, first };
    first += rows * columns;
    return part;
  });
  const shape = parts.map((part) => `${part.name} ${part.rows} ${part.columns} ${part.piece}`).join();
  const index = before?.shape === shape ? before.index : indexOf(parts);
  const letters: Letter[] = header.letters.map(([text, x, y, z, ox, oy, oz]: [string, ...number[]]) => ({ text, at: [x, y, z], out: [ox, oy, oz] }));
  return { name: header.name, revision: header.revision, letters, ground: header.ground, parts, points, shape, index };
}

function indexOf(parts: Part[]): Uint32Array {
  const corners: number[] = [];
  for (const part of parts) {
    for (let row = 0; row + 1 < part.rows; row++) {
      for (let column = 0; column + 1 < part.columns; column++) {
        const a = part.first + row * part.columns + column;
        const d = a + part.columns;
        corners.push(a, a + 1, d + 1, a, d + 1, d);
      }
    }
  }
  return new Uint32Array(corners);
}
