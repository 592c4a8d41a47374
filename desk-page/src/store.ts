// What the page knows: only what the desk sent, and where this page is looking.
import { batch, computed, effect, signal } from "@preact/signals";
import { Link, type Json } from "./link";
import { readSolid, type Solid } from "./solid";
import { words } from "./words";

export interface Row {
  key: string;
  path: string;
  text: string;
  given: boolean;
  hint?: string;
}
export interface Block {
  key: string;
  path: string;
  rows: Row[];
  removable: boolean;
}
export interface Add {
  key: string;
  path: string;
  count: number;
}
export interface Group {
  name: string;
  blocks: Block[];
  adds: Add[];
}
export interface Told {
  label: string;
  says: string;
  kind: "quantity" | "number" | "whole" | "choice" | "switch" | "words" | "list";
  choices?: string[];
  also?: string[];
  default?: string;
  reason?: string;
  source?: string;
  absent?: string;
}
export interface State {
  empty: boolean;
  revision: number;
  groups: Group[];
  undo: string;
  redo: string;
  dirty: boolean;
  disk: "same" | "changed" | "gone" | "new";
  file: string;
  suggested: string;
  recovery: boolean;
  kept: number | null;
  warnings: string[];
}
export interface Finding {
  rule: string;
  title: string;
  verdict: "pass" | "warn" | "fail" | "note";
  words: string;
  limit: string;
  where: string;
  why: string;
  change: string;
  source: string;
  keys: string[];
}
export interface Station {
  id: string;
  run: string;
  x: number;
  y: number;
  at: number;
  out: [number, number];
}
export interface PieceRow {
  code: string;
  name: string;
  kind: string;
  cloth: string;
  quantities: Record<string, number>;
  count: number;
  run: string;
  stations: string;
  size_mm: [number, number];
  letters: string[];
}
export interface Answer {
  revision: number;
  verdict: string;
  sentence: string;
  facts: [string, string][];
  findings: Finding[];
  stations: Station[];
  whole: boolean; // false: the pieces and the rules on them follow
  pieces: PieceRow[];
  inflation: { used: boolean; why: string }; // what is saved beside the design: taken up, or why not
  depth: number;
  clearance: number;
  gap: number;
}
export interface Refusal {
  revision: number;
  kind: string;
  reason: string;
  would_do: string;
  problems: { key: string; given: string; wrong: string; would_do: string }[];
}
export interface Handle {
  key: string;
  value: number;
  at: [number, number];
  along: [number, number];
  gain: number;
  group?: string; // "hull", "corner", "station", "diaphragm"
  entry?: number | string; // which of its group
  also?: { key: string; value: number; along: [number, number]; gain: number }; // the other length of a point
  on?: "joint"; // the value is the length along the joint line
}
export interface Drawing {
  name: string;
  revision: number;
  svg: string;
  box: [number, number, number, number];
  height: number;
  title: string;
  summary: string;
  table: [string, string][];
  frame: [number, number, number] | null;
  handles: Handle[];
  line?: [number, number, number][]; // of the plan: x, y and length along the joint line
  legend?: [number, number[], number, string][]; // lines: width, dashes, grey, words
  missing?: boolean;
  why?: string; // why it is missing
  kind: "template" | "drawing";
}

export interface Study {
  name: string;
  revision: number;
  why: string;
  verdict: string;
  sentences: string[];
  cautions: string[];
  lines: string;
  findings: Finding[];
  sheets: Drawing[];
}

export const told = signal<Record<string, Told>>({});
export const mayEdit = signal(true);
export const isOpen = signal(false);
export const wasOpen = signal(false);
export const state = signal<State | null>(null);
export const answer = signal<Answer | null>(null);
export const refusal = signal<Refusal | null>(null);
export const drawings = signal<Record<string, Drawing>>({});
export const studies = signal<Record<string, Study>>({});
export const solid = signal<Solid | null>(null);
export const keptSolid = signal<Solid | null>(null);
export const comparison = signal<Json | null>(null);
export const jobs = signal<Record<string, Json>>({}); // long work by what it makes
export const job = computed(() => jobs.value.pack ?? null);
export const notice = signal("");

export const group = signal(memory("group", "skirt"));
export const view = signal(memory("view", "walk"));
export const station = signal(memory("station", ""));
export const piece = signal("");
export const looks = signal<string[]>([]);

/** The design as typed is not the one that is drawn: it is being solved, or cannot be made. */
export const isBehind = computed(() => (state.value?.revision ?? 0) !== (answer.value?.revision ?? 0));

/** Problems and findings by key, for the field they concern. */
export const problems = computed(() => {
  const found: Record<string, { wrong: string; would_do: string }> = {};
  for (const one of refusal.value?.problems ?? []) found[one.key] ??= one;
  return found;
});
export const findingsByKey = computed(() => {
  const found: Record<string, Finding[]> = {};
  for (const one of answer.value?.findings ?? []) {
    if (one.verdict === "fail" || one.verdict === "warn") for (const key of one.keys) (found[key] ??= []).push(one);
  }
  return found;
});

function memory(name: string, otherwise: string): string {
  try {
    return localStorage.getItem(`desk.${name}`) ?? otherwise;
  } catch {
    return otherwise;
  }
}

export function remember(name: string, value: string): void {
  try {
    localStorage.setItem(`desk.${name}`, value);
  } catch {
    // a browser that keeps nothing
  }
}

function hear(data: Json | ArrayBuffer): void {
  if (data instanceof ArrayBuffer) {
    const read = readSolid(data, solid.peek());
    if (read.name === "solid") solid.value = read;
    else keptSolid.value = read;
    return;
  }
  switch (data.type) {
    case "hello":
      told.value = data.fields;
      mayEdit.value = data.may_edit;
      break;
    case "state":
      state.value = data as State;
      if (state.value.kept === null) keptSolid.value = null;
      break;
    case "answer":
      batch(() => {
        const next = data as Answer;
        answer.value = next.whole ? next : { ...next, pieces: answer.peek()?.pieces ?? [] };
        refusal.value = null;
        const ofStudies = Object.values(studies.peek()).flatMap((one) => (one.sheets ?? []).map((sheet) => sheet.name));
        const stay = new Set([...looks.peek(), ...ofStudies]);
        const kept = Object.entries(drawings.peek()).filter(([name]) => stay.has(name));
        drawings.value = Object.fromEntries(kept); // what is not looked at is drawn afresh when it is
        const ids = (data as Answer).stations.map((one) => one.id);
        if (!ids.includes(station.peek())) station.value = ids[Math.floor(ids.length / 2)] ?? "";
      });
      break;
    case "refused":
      refusal.value = data as Refusal;
      break;
    case "drawing":
      drawings.value = { ...drawings.peek(), [data.name]: data as Drawing };
      break;
    case "study":
      batch(() => {
        const study = data as Study;
        studies.value = { ...studies.peek(), [study.name]: study };
        drawings.value = { ...drawings.peek(), ...Object.fromEntries((study.sheets ?? []).map((one) => [one.name, one])) };
      });
      break;
    case "comparison":
      comparison.value = data.kept === null ? null : data;
      break;
    case "job":
      jobs.value = { ...jobs.peek(), [data.of]: data };
      break;
    case "note":
      notice.value = data.text;
      break;
  }
}

export const link = new Link(
  hear,
  (open) => {
    if (open && wasOpen.peek()) notice.value = words.link.back;
    if (open) wasOpen.value = true;
    isOpen.value = open;
  },
  () => looks.peek(),
);

effect(() => link.look(looks.value));
effect(() => remember("group", group.value));
effect(() => remember("view", view.value));
effect(() => remember("station", station.value));

export async function say(name: string, fields: Json = {}): Promise<Json | null> {
  const problem = await link.say(name, fields);
  if (problem && !problem.key) notice.value = `${problem.wrong} ${problem.would_do}`.trim();
  if (problem?.key === "file") notice.value = problem.wrong;
  return problem;
}

/** Show the field of a key: its group, then the field itself. */
export function goTo(key: string): void {
  const top = key.split(".")[0];
  group.value = top === "project" ? "craft" : top;
  requestAnimationFrame(() =>
    requestAnimationFrame(() => {
      const field = document.getElementById(`field-${key}`) ?? document.querySelector<HTMLElement>(`[data-block^="${CSS.escape(key)}"]`);
      const fold = field?.closest("details");
      if (fold) fold.open = true;
      field?.scrollIntoView({ block: "center" });
      field?.focus();
    }),
  );
}

/** The text of a key as the desk has it. */
export function textOf(key: string): string {
  for (const one of state.value?.groups ?? [])
    for (const block of one.blocks) for (const row of block.rows) if (row.key === key) return row.text;
  return "";
}
