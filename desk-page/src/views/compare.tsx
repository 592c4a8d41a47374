import { useLooks } from "../looks";
import { comparison, goTo, mayEdit, say } from "../store";
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
  const pieces = found.pieces as { code: string; verdict: string; words: string }[];
  const marks: Record<string, string> = { keep: "pass", cut: "warn", new: "note", gone: "note" };
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
                    {row.key}
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
      <h3>{say_.pieces}</h3>
      <p>{say_.serve(pieces.filter((row) => row.verdict === "keep").length, pieces.length)}</p>
      <table class="wide">
        <tbody>
          {pieces.map((row) => (
            <tr key={row.code}>
              <th scope="row">{row.code}</th>
              <td>
                <Verdict of={marks[row.verdict]} word={row.words} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
