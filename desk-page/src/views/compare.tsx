import { useEffect, useState } from "preact/hooks";
import { useLooks } from "../looks";
import { comparison, goTo, mayEdit, say, told } from "../store";
import { Verdict } from "../verdict";
import { words } from "../words";

export function Compare() {
  useLooks([]);
  const found = comparison.value;
  const say_ = words.compare;
  if (!found) {
    return (
      <div class="column">
        <h2>{say_.heading}</h2>
        <p>{say_.none}</p>
        <button type="button" onClick={() => say("keep")}>
          {say_.keep}
        </button>
      </div>
    );
  }
  const keys = found.keys as { key: string; kept: string; now: string }[];
  const results = found.results as { name: string; kept: string; now: string; change: string; same: boolean }[];
  return (
    <div class="column">
      <h2>{say_.heading}</h2>
      <p class="buttons">
        {say_.kept(found.kept)}
        <button type="button" class="quiet" onClick={() => say("keep")}>
          {say_.again}
        </button>
        <button type="button" class="quiet" onClick={() => say("drop")}>
          {say_.drop}
        </button>
      </p>
      <h3>{say_.keys}</h3>
      {keys.length === 0 && <p>{say_.nothing}</p>}
      {keys.length > 0 && (
        <table class="wide">
          <thead>
            <tr>
              <th scope="col">{say_.keys}</th>
              <th scope="col">{say_.was}</th>
              <th scope="col">{say_.now}</th>
            </tr>
          </thead>
          <tbody>
            {keys.map((row) => (
              <tr key={row.key}>
                <th scope="row">
                  <button type="button" class="link" disabled={!mayEdit.value} onClick={() => goTo(row.key)}>
                    {told.value[row.key.replace(/\[\d+\]/g, "")]?.label ?? row.key} <code>{row.key}</code>
                  </button>
                </th>
                <td>{row.kept || "–"}</td>
                <td>{row.now || "–"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <h3>{say_.results}</h3>
      <table class="wide">
        <thead>
          <tr>
            <th scope="col">{say_.results}</th>
            <th scope="col">{say_.was}</th>
            <th scope="col">{say_.now}</th>
            <th scope="col">{say_.by}</th>
          </tr>
        </thead>
        <tbody>
          {results.map((row) => (
            <tr key={row.name} class={row.same ? "same" : "other"}>
              <th scope="row">{row.name}</th>
              <td>{row.kept}</td>
              <td>{row.now}</td>
              <td>{row.same ? "" : row.change}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <KeptPieces kept={found.kept} revision={found.revision} />
    </div>
  );
}

interface PieceRow {
  code: string;
  name: string;
  verdict: string;
  words: string;
  kept: number;
  now: number;
}
const MARKS: Record<string, string> = { keep: "pass", mark: "pass", trim: "warn", cut: "fail", new: "note", gone: "note" };
const PATIENCE = 500; // ms without another edit before pieces are laid on each other

/** Which of the pieces of the kept variant serve for this one: laid on each other, which takes seconds. */
function KeptPieces({ kept, revision }: { kept: number; revision: number }) {
  const say_ = words.compare;
  const [rows, setRows] = useState<PieceRow[] | null>(null);
  useEffect(() => {
    let isHere = true;
    setRows(null);
    const timer = setTimeout(async () => {
      const found = await fetch("/kept-pieces");
      const data = found.ok ? await found.json() : null;
      if (isHere && data) setRows(data.pieces);
    }, PATIENCE);
    return () => {
      isHere = false;
      clearTimeout(timer);
    };
  }, [kept, revision]);
  return (
    <section aria-labelledby="kept-pieces">
      <h3 id="kept-pieces">{say_.pieces}</h3>
      {rows === null ? (
        <p role="status" class="quiet-words">{say_.laying}</p>
      ) : (
        <>
          <p>{say_.serve(rows.filter((row) => ["keep", "mark", "trim"].includes(row.verdict)).length, rows.filter((row) => row.verdict !== "gone").length)}</p>
          <table class="wide">
            <thead>
              <tr>
                <th scope="col">{say_.code}</th>
                <th scope="col">{say_.verdict}</th>
                <th scope="col">{say_.cutThen}</th>
                <th scope="col">{say_.wanted}</th>
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <tr key={row.code}>
                  <th scope="row">
                    {row.code} <small>{row.name}</small>
                  </th>
                  <td>
                    <Verdict of={MARKS[row.verdict]} word={say_.verdicts[row.verdict]} /> <span>{row.words}</span>
                  </td>
                  <td class="number">{row.kept}</td>
                  <td class="number">{row.now}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
    </section>
  );
}
