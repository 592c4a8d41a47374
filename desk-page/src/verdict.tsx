// A verdict is a word, a shape and a colour; in grey the word and the shape are left.
import { words } from "./words";

const SHAPES: Record<string, string> = {
  pass: "M8 1.5a6.5 6.5 0 1 0 0 13a6.5 6.5 0 0 0 0-13zM4.6 8.2l2.4 2.4 4.4-5",
  warn: "M8 1.6 15 14H1zM8 6v4M8 11.6v.9",
  fail: "M5.2 1.5h5.6l3.7 3.7v5.6l-3.7 3.7H5.2l-3.7-3.7V5.2zM5.5 5.5l5 5M10.5 5.5l-5 5",
  note: "M2 2.5h12v11H2zM8 7v3.6M8 4.8v.9",
};

export function Verdict({ of, word }: { of: string; word?: string }) {
  return (
    <span class={`verdict verdict-${of}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        <path d={SHAPES[of] ?? SHAPES.note} />
      </svg>
      {word ?? words.verdicts[of]}
    </span>
  );
}
