import { JobOf } from "../job";
import { useLooks } from "../looks";
import { SheetOf } from "../sheet";
import { answer, piece, station, studies, view } from "../store";
import { Answer } from "../study";
import { words } from "../words";

export function Pieces() {
  const rows = answer.value?.pieces ?? [];
  const here = rows.find((row) => row.code === piece.value) ?? rows[0];
  useLooks(here ? [`piece-${here.code}`] : []);
  const show = () => {
    piece.value = here!.code;
    const first = /P\d+/.exec(here!.stations)?.[0];
    if (first) station.value = first;
    view.value = "whole";
  };
  return (
    <div class="pieces">
      <div class="piece-list" tabIndex={0} role="group" aria-label={words.pieces.heading}>
        <table>
          <caption class="unseen">{words.pieces.heading}</caption>
          <thead>
            <tr>
              <th scope="col">{words.pieces.code}</th>
              <th scope="col">{words.pieces.name}</th>
              <th scope="col">{words.pieces.count}</th>
              <th scope="col">{words.pieces.size}</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.code} class={row === here ? "is-chosen" : ""}>
                <th scope="row">
                  <button type="button" class="link" aria-pressed={row === here} onClick={() => (piece.value = row.code)}>
                    {row.code}
                  </button>
                </th>
                <td>
                  {row.name}
                  <small>
                    {row.cloth}
                    {row.stations && `, ${row.stations}`}
                    {!row.stations && row.run && `, ${row.run}`}
                  </small>
                </td>
                <td class="number">
                  {Object.entries(row.quantities)
                    .map(([hand, count]) => `${count}${hand ? ` ${hand}` : ""}`)
                    .join(" + ")}
                </td>
                <td class="number">
                  {Math.round(row.size_mm[0])} × {Math.round(row.size_mm[1])}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <div class="piece-sheet">
        {here ? (
          <>
            <p class="buttons">
              <button type="button" onClick={show}>
                {words.pieces.show}
              </button>
            </p>
            <SheetOf name={`piece-${here.code}`} />
          </>
        ) : (
          <p>{words.pieces.pick}</p>
        )}
        <JobOf of="patterns" says={words.jobs.says.patterns} />
        {studies.value.patterns && (
          <div class={`study${studies.value.patterns.revision !== answer.value?.revision ? " is-old" : ""}`} data-study="patterns">
            <Answer name="patterns" study={studies.value.patterns} />
          </div>
        )}
      </div>
    </div>
  );
}
