// What stands on the skirt in three dimensions: letters of the seams, and the outline of the kept variant.
import * as THREE from "three";
import type { Letter, Part, Solid } from "./solid";

const HEIGHT = 0.12; // m of a letter's tag

/** Tags that face whoever looks; those on the far side are hidden. */
export class Letters {
  readonly group = new THREE.Group();
  private made = "";

  show(letters: Letter[], ink: THREE.Color, film: THREE.Color): void {
    const wanted = JSON.stringify([letters, ink.getHex(), film.getHex()]);
    if (wanted === this.made) return;
    this.made = wanted;
    this.clear();
    const textures = new Map<string, THREE.Texture>();
    for (const letter of letters) {
      const map = textures.get(letter.text) ?? tag(letter.text, ink, film);
      textures.set(letter.text, map);
      const sprite = new THREE.Sprite(new THREE.SpriteMaterial({ map, depthTest: true, transparent: true }));
      sprite.position.set(...letter.at);
      sprite.scale.set(HEIGHT * map.userData.wide, HEIGHT, 1);
      sprite.userData.out = new THREE.Vector3(...letter.out);
      this.group.add(sprite);
    }
  }

  /** Hide what looks away from a place. */
  face(camera: THREE.Vector3): void {
    for (const sprite of this.group.children) {
      sprite.visible = camera.clone().sub(sprite.position).dot(sprite.userData.out as THREE.Vector3) > 0;
    }
  }

  clear(): void {
    for (const sprite of this.group.children as THREE.Sprite[]) {
      sprite.material.map?.dispose();
      sprite.material.dispose();
    }
    this.group.clear();
  }
}

function tag(text: string, ink: THREE.Color, film: THREE.Color): THREE.Texture {
  const canvas = document.createElement("canvas");
  const wide = text.length > 1 ? 1.5 : 1;
  [canvas.width, canvas.height] = [64 * wide, 64];
  const pen = canvas.getContext("2d")!;
  pen.fillStyle = `#${film.getHexString()}`;
  pen.strokeStyle = pen.fillStyle;
  pen.beginPath();
  pen.roundRect(3, 3, canvas.width - 6, 58, 8);
  pen.fill();
  pen.strokeStyle = `#${ink.getHexString()}`;
  pen.lineWidth = 4;
  pen.stroke();
  pen.fillStyle = pen.strokeStyle;
  pen.font = '700 42px system-ui, "DejaVu Sans", sans-serif';
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillText(text, canvas.width / 2, 34);
  const texture = new THREE.CanvasTexture(canvas);
  texture.colorSpace = THREE.SRGBColorSpace;
  texture.userData = { wide };
  return texture;
}

/** Hull edge, joint, seams and tips of another skirt as broken lines. */
export class Outline {
  readonly lines = new THREE.LineSegments(
    new THREE.BufferGeometry(),
    new THREE.LineDashedMaterial({ dashSize: 0.05, gapSize: 0.035 }),
  );
  private of: Solid | null = null;

  show(solid: Solid | null, ink: THREE.Color): void {
    this.lines.visible = solid !== null;
    this.lines.material.color = ink;
    if (!solid || solid === this.of) return;
    this.of = solid;
    const places: number[] = [];
    for (const part of solid.parts) {
      if (part.kind === "loop") {
        row(solid, part, 0, places);
        row(solid, part, part.rows - 1, places);
      } else if (part.kind === "face") row(solid, part, part.rows - 1, places);
      else if (part.kind === "seam") column(solid, part, places);
    }
    this.lines.geometry.dispose();
    this.lines.geometry = new THREE.BufferGeometry();
    this.lines.geometry.setAttribute("position", new THREE.Float32BufferAttribute(places, 3));
    this.lines.computeLineDistances();
  }
}

function put(solid: Solid, i: number, into: number[]): void {
  into.push(solid.points[3 * i], solid.points[3 * i + 1], solid.points[3 * i + 2]);
}

function row(solid: Solid, part: Part, number: number, into: number[]): void {
  for (let k = 0; k + 1 < part.columns; k++) {
    put(solid, part.first + number * part.columns + k, into);
    put(solid, part.first + number * part.columns + k + 1, into);
  }
}

function column(solid: Solid, part: Part, into: number[]): void {
  for (let k = 0; k + 1 < part.rows; k++) {
    put(solid, part.first + k * part.columns, into);
    put(solid, part.first + (k + 1) * part.columns, into);
  }
}
