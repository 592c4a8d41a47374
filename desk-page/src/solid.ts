// The block of numbers of the whole skirt: parts, each a grid of points.

export interface Part {
  name: string;
  kind: string;
  rows: number;
  columns: number;
  piece: string;
  first: number; // of its points
}
export interface Solid {
  revision: number;
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
  return { revision: header.revision, parts, points, shape, index };
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
