// The whole skirt in three dimensions. Draws only when something changed; x forward, y to port, z up, metres.
import * as THREE from "three";
import { Letters, Outline } from "./scene-marks";
import type { Part, Solid } from "./solid";

export interface Look {
  person: boolean;
  explode: number; // 0 .. 1
  stands: "hover" | "touch" | "sit";
  loop: boolean;
  segments: boolean;
  hull: boolean;
  letters: boolean;
  cut: { x: number; y: number; out: [number, number] } | null;
  chosen: string; // code of a piece
}

const CLOTH = new Set(["loop", "seam", "face", "web"]);
const LYING = 0.004; // m of cloth that lies on the ground over it
const VIEWS: Record<string, [number, number]> = {
  home: [0.66, 1.14],
  side: [Math.PI / 2, 1.5],
  top: [Math.PI / 2, 0.02],
};

export class Scene {
  readonly renderer: THREE.WebGLRenderer;
  private scene = new THREE.Scene();
  private camera = new THREE.PerspectiveCamera(32, 1, 0.05, 120);
  private mesh: THREE.Mesh<THREE.BufferGeometry, THREE.MeshStandardMaterial>;
  private ground = new THREE.Group();
  private letters = new Letters();
  private outline = new Outline();
  private target = new THREE.Vector3(2.5, 0, 0.2);
  private turn = VIEWS.home[0];
  private tilt = VIEWS.home[1];
  private far = 9;
  private asked = 0;
  private solid: Solid | null = null;
  private look: Look | null = null;
  private kept: Solid | null = null;
  private shape = "";
  private plane = new THREE.Plane();
  private ink: Record<string, THREE.Color> = {};

  constructor(
    private host: HTMLElement,
    private onDrawn: (triangles: number, revision: number) => void,
  ) {
    this.renderer = new THREE.WebGLRenderer({ antialias: true, alpha: true, powerPreference: "low-power" });
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    host.append(this.renderer.domElement);
    this.camera.up.set(0, 0, 1);
    const material = new THREE.MeshStandardMaterial({ vertexColors: true, side: THREE.DoubleSide, roughness: 0.95, metalness: 0 });
    this.mesh = new THREE.Mesh(new THREE.BufferGeometry(), material);
    const key = new THREE.DirectionalLight(0xffffff, 1.9);
    key.position.set(4, 5, 9);
    const back = new THREE.DirectionalLight(0xffffff, 0.6);
    back.position.set(-6, -4, 3);
    this.scene.add(this.mesh, this.ground, this.letters.group, this.outline.lines, key, back, new THREE.HemisphereLight(0xffffff, 0x90979a, 1.1));
    this.theme();
    new ResizeObserver(() => this.resize()).observe(host);
    this.resize();
  }

  /** Take the colours of the page as they are now. */
  theme(): void {
    const style = getComputedStyle(document.documentElement);
    for (const name of ["loop", "face", "web", "hull", "seam", "chosen", "floor", "planing", "bottom", "dark", "pale", "ink", "film", "ghost"]) {
      this.ink[name] = new THREE.Color(style.getPropertyValue(`--solid-${name}`).trim() || "#888888");
    }
    this.makeGround();
    this.shape = "";
    if (this.solid && this.look) this.show(this.solid, this.look, this.kept);
  }

  show(solid: Solid, look: Look, kept: Solid | null): void {
    const first = this.solid === null;
    this.solid = solid;
    this.look = look;
    this.kept = kept;
    const geometry = this.mesh.geometry;
    if (solid.shape !== this.shape) {
      geometry.setAttribute("position", new THREE.BufferAttribute(new Float32Array(solid.points.length), 3));
      geometry.setAttribute("color", new THREE.BufferAttribute(new Float32Array(solid.points.length), 3));
      this.shape = solid.shape;
    }
    this.place(solid, look);
    this.colour(solid, look);
    this.choose(solid, look);
    geometry.computeVertexNormals();
    geometry.computeBoundingSphere();
    this.ground.position.z = solid.ground[look.stands] - (look.stands === "touch" ? 0.002 : 0);
    this.letters.show(look.letters && look.explode === 0 ? solid.letters : [], this.ink.ink, this.ink.film);
    this.outline.show(kept, this.ink.ghost);
    this.renderer.clippingPlanes = look.cut ? [this.cutAt(look.cut)] : [];
    if (first) this.frame();
    this.draw();
  }

  private place(solid: Solid, look: Look): void {
    const position = this.mesh.geometry.getAttribute("position") as THREE.BufferAttribute;
    const points = position.array as Float32Array;
    points.set(solid.points);
    if (look.stands === "sit") {
      const floor = solid.ground.sit + LYING;
      for (const part of solid.parts.filter((one) => CLOTH.has(one.kind))) {
        for (let i = part.first; i < part.first + size(part); i++) points[3 * i + 2] = Math.max(points[3 * i + 2], floor);
      }
    }
    const post = solid.ground[look.stands];
    for (const part of solid.parts.filter(isPost)) {
      for (let i = part.first; i < part.first + size(part); i++) points[3 * i + 2] += post;
    }
    if (look.explode > 0) {
      const middle = this.middle(solid);
      for (const part of solid.parts) {
        const count = part.rows * part.columns;
        let x = 0;
        let y = 0;
        for (let i = part.first; i < part.first + count; i++) {
          x += solid.points[3 * i] / count;
          y += solid.points[3 * i + 1] / count;
        }
        const far = Math.hypot(x - middle[0], y) || 1;
        const out = look.explode * (!CLOTH.has(part.kind) ? 0 : part.kind === "loop" || part.kind === "seam" ? 0.45 : 0.9);
        const down = part.kind === "face" ? -0.25 * look.explode : part.kind === "web" ? -0.5 * look.explode : 0;
        const dx = (out * (x - middle[0])) / far;
        const dy = (out * y) / far;
        for (let i = part.first; i < part.first + count; i++) {
          points[3 * i] += dx;
          points[3 * i + 1] += dy;
          points[3 * i + 2] += down;
        }
      }
    }
    position.needsUpdate = true;
  }

  private colour(solid: Solid, look: Look): void {
    const colour = this.mesh.geometry.getAttribute("color") as THREE.BufferAttribute;
    for (const part of solid.parts) {
      const ink = look.chosen && part.piece === look.chosen ? this.ink.chosen : this.ink[part.kind] ?? this.ink.loop;
      for (let i = part.first; i < part.first + part.rows * part.columns; i++) colour.setXYZ(i, ink.r, ink.g, ink.b);
    }
    colour.needsUpdate = true;
  }

  private choose(solid: Solid, look: Look): void {
    const kinds: Record<string, boolean> = { loop: look.loop, seam: look.loop, face: look.segments, web: look.segments, hull: look.hull, planing: look.hull, bottom: look.hull, dark: look.person, pale: look.person };
    const shown = solid.parts.filter((part) => kinds[part.kind] ?? true);
    if (shown.length === solid.parts.length) {
      if (this.mesh.geometry.index?.array !== solid.index) this.mesh.geometry.setIndex(new THREE.BufferAttribute(solid.index, 1));
      return;
    }
    const whole: number[] = [];
    let at = 0;
    for (const part of solid.parts) {
      const count = 6 * (part.rows - 1) * (part.columns - 1);
      if (kinds[part.kind] ?? true) for (let i = at; i < at + count; i++) whole.push(solid.index[i]);
      at += count;
    }
    this.mesh.geometry.setIndex(new THREE.BufferAttribute(new Uint32Array(whole), 1));
  }

  private cutAt(cut: { x: number; y: number; out: [number, number] }): THREE.Plane {
    const along = new THREE.Vector3(cut.out[1], -cut.out[0], 0); // towards the bow on the port side
    this.plane.setFromNormalAndCoplanarPoint(along.negate(), new THREE.Vector3(cut.x, cut.y, 0));
    return this.plane;
  }

  private middle(solid: Solid): [number, number] {
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < solid.points.length; i += 3) {
      low = Math.min(low, solid.points[i]);
      high = Math.max(high, solid.points[i]);
    }
    return [(low + high) / 2, high - low];
  }

  private frame(): void {
    const [middle, length] = this.middle(this.solid!);
    this.target.set(middle, 0, 0.25);
    this.far = length * 1.32;
  }

  from(name: string): void {
    [this.turn, this.tilt] = VIEWS[name] ?? VIEWS.home;
    if (this.solid) this.frame();
    this.draw();
  }

  /** Look outboard at a station from under the hull, as whoever fits the segments does. */
  inside(at: { x: number; y: number; out: [number, number] }, depth: number): void {
    this.target.set(at.x - 0.6 * depth * at.out[0], at.y - 0.6 * depth * at.out[1], 0.55 * depth);
    this.turn = Math.atan2(-at.out[1], -at.out[0]);
    this.tilt = 1.78;
    this.far = 1.5;
    this.draw();
  }

  orbit(turn: number, tilt: number): void {
    this.turn += turn;
    this.tilt = Math.min(3.0, Math.max(0.02, this.tilt + tilt));
    this.draw();
  }

  closer(by: number): void {
    this.far = Math.min(40, Math.max(0.6, this.far * by));
    this.draw();
  }

  pan(right: number, up: number): void {
    const side = new THREE.Vector3(-Math.sin(this.turn), Math.cos(this.turn), 0);
    this.target.addScaledVector(side, right * this.far).add(new THREE.Vector3(0, 0, up * this.far));
    this.draw();
  }

  /** Return the part under a place of the canvas. */
  pick(clientX: number, clientY: number): { piece: string; name: string } | null {
    const box = this.renderer.domElement.getBoundingClientRect();
    const at = new THREE.Vector2(((clientX - box.left) / box.width) * 2 - 1, 1 - ((clientY - box.top) / box.height) * 2);
    const ray = new THREE.Raycaster();
    ray.setFromCamera(at, this.camera);
    const cut = this.renderer.clippingPlanes[0];
    const hit = ray.intersectObject(this.mesh).find((one) => !cut || cut.distanceToPoint(one.point) >= 0);
    const corner = hit?.face?.a;
    if (corner === undefined || !this.solid) return null;
    const part = this.solid.parts.find((one) => corner >= one.first && corner < one.first + one.rows * one.columns);
    return part ? { piece: part.piece, name: part.name } : null;
  }

  private resize(): void {
    const { clientWidth: width, clientHeight: height } = this.host;
    if (!width || !height) return;
    this.renderer.setSize(width, height);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  draw(): void {
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      const reach = Math.sin(this.tilt) * this.far * Math.max(1, 1.25 / this.camera.aspect);
      const height = Math.cos(this.tilt) * this.far * Math.max(1, 1.25 / this.camera.aspect);
      this.camera.position.set(this.target.x + reach * Math.cos(this.turn), this.target.y + reach * Math.sin(this.turn), this.target.z + height);
      this.camera.lookAt(this.target);
      this.ground.visible = this.tilt < Math.PI / 2;
      this.letters.face(this.camera.position);
      this.renderer.render(this.scene, this.camera);
      this.onDrawn(this.renderer.info.render.triangles, this.solid?.revision ?? 0);
    });
  }

  close(): void {
    cancelAnimationFrame(this.asked);
    this.letters.clear();
    this.renderer.dispose();
    this.mesh.geometry.dispose();
    this.renderer.domElement.remove();
  }

  private makeGround(): void {
    this.ground.clear();
    const lines = new THREE.GridHelper(24, 48, this.ink.floor, this.ink.floor);
    lines.rotation.x = Math.PI / 2;
    (lines.material as THREE.Material).transparent = true;
    (lines.material as THREE.Material).opacity = 0.28;
    this.ground.add(lines);
  }
}

const size = (part: Part) => part.rows * part.columns;
const isPost = (part: Part) => part.kind === "dark" || part.kind === "pale";
