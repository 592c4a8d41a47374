// The socket to the desk: sends wishes, keeps those that were not confirmed, comes back by itself.

export type Json = Record<string, any>;
export type Wish = { name_of: string; number: number } & Json;

const EDITS = new Set(["set", "step", "add", "remove", "undo", "redo", "drag", "move", "save", "save_as", "reload", "start"]);
const page = crypto.getRandomValues(new Uint32Array(3)).join("-");

export class Link {
  private socket: WebSocket | null = null;
  private pending = new Map<number, Wish>();
  private number = 1;
  private pause = 250;
  private waiting = new Map<number, (problem: Json | null) => void>();

  constructor(
    private hear: (data: Json | ArrayBuffer) => void,
    private stands: (open: boolean) => void,
    private looks: () => string[],
  ) {
    this.open();
  }

  /** Send a wish; an edit is kept until the desk confirms it. */
  say(name_of: string, fields: Json = {}): Promise<Json | null> {
    const wish: Wish = { name_of, number: this.number++, ...fields };
    if (EDITS.has(name_of)) this.pending.set(wish.number, wish);
    const answered = new Promise<Json | null>((done) => this.waiting.set(wish.number, done));
    this.send(wish);
    return answered;
  }

  /** Tell the desk which drawings are looked at. */
  look(names: string[]): void {
    this.send({ name_of: "look", number: 0, names });
  }

  get unsent(): number {
    return this.pending.size;
  }

  private send(wish: Wish): void {
    if (this.socket?.readyState === WebSocket.OPEN) this.socket.send(JSON.stringify(wish));
  }

  private open(): void {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const socket = new WebSocket(`${scheme}://${location.host}/talk?page=${page}`);
    socket.binaryType = "arraybuffer";
    this.socket = socket;
    socket.onopen = () => {
      this.pause = 250;
      this.stands(true);
      this.look(this.looks());
      for (const wish of this.pending.values()) this.send(wish);
    };
    socket.onmessage = (event) => {
      if (event.data instanceof ArrayBuffer) return this.hear(event.data);
      const data = JSON.parse(event.data) as Json;
      if (data.type !== "done") return this.hear(data);
      this.pending.delete(data.number);
      this.waiting.get(data.number)?.(data.problem);
      this.waiting.delete(data.number);
    };
    socket.onclose = () => {
      if (this.socket !== socket) return;
      this.stands(false);
      setTimeout(() => this.open(), this.pause);
      this.pause = Math.min(4000, this.pause * 1.7);
    };
  }
}
