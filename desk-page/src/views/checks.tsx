import { useEffect, useState } from "preact/hooks";
import { useLooks } from "../looks";
import { answer, goTo, station, told, view, type Finding } from "../store";
import { Ticked } from "../ticked";
import { Verdict } from "../verdict";
import { words } from "../words";

export function Checks() {
  useLooks([]);
  const findings = answer.value?.findings ?? [];
  const count = (verdict: string) => findings.filter((one) => one.verdict === verdict).length;
  const first = ["fail", "warn"].flatMap((verdict) => findings.filter((one) => one.verdict === verdict));
  const rest = ["note", "pass"].flatMap((verdict) => findings.filter((one) => one.verdict === verdict));
  return (
    <div class="column checks">
      <h2>{words.checks.heading}</h2>
      <p>{first.length ? words.checks.counts(count("fail"), count("warn"), count("pass")) : words.checks.all}</p>
      {first.map((one) => (
        <Card key={one.rule + one.where} finding={one} />
      ))}
      <h3>{words.checks.hidden(rest.length)}</h3>
      <table class="wide">
        <thead>
          <tr>
            <th scope="col">{words.checks.verdict}</th>
            <th scope="col">{words.checks.rule}</th>
            <th scope="col">{words.checks.value}</th>
            <th scope="col">{words.checks.where}</th>
            <th scope="col">{words.checks.field}</th>
          </tr>
        </thead>
        <tbody>
          {rest.map((one) => (
            <tr key={one.rule + one.where} title={`${one.why} ${words.checks.source}: ${one.source}`}>
              <td>
                <Verdict of={one.verdict} />
              </td>
              <th scope="row">{one.title}</th>
              <td>{one.words}</td>
              <td>{one.where}</td>
              <td>
                {one.keys[0] && (
                  <button type="button" class="link" title={one.keys[0]} onClick={() => goTo(one.keys[0])}>
                    {told.value[one.keys[0].replace(/\[\d+\]/g, "")]?.label ?? one.keys[0]}
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What the rule is made of, with this design's figures, as the program explains it. */
function Why({ rule }: { rule: string }) {
  const [lines, setLines] = useState<string | null>(null);
  const revision = answer.value?.revision;
  useEffect(() => setLines(null), [revision]);
  const ask = async () => {
    const found = await fetch(`/why/${encodeURIComponent(rule)}`);
    setLines(await found.text());
  };
  return lines === null ? (
    <button type="button" class="quiet why" onClick={ask}>
      {words.checks.why}
    </button>
  ) : (
    <pre class="why-lines" tabIndex={0}>
      {lines}
    </pre>
  );
}

function Card({ finding }: { finding: Finding }) {
  const isStation = answer.value?.stations.some((one) => one.id === finding.where);
  return (
    <article class={`check check-${finding.verdict}`}>
      <h3>
        <Verdict of={finding.verdict} /> {finding.title}
      </h3>
      <p class="value">
        {finding.words} · {words.checks.where.toLowerCase()}{" "}
        {isStation ? (
          <button
            type="button"
            class="link"
            onClick={() => {
              station.value = finding.where;
              view.value = "walk";
            }}
          >
            {finding.where}
          </button>
        ) : (
          finding.where
        )}
      </p>
      <p>
        <Ticked text={finding.why} />
      </p>
      {finding.verdict !== "pass" && (
        <p class="change">
          <Ticked text={finding.change} />
        </p>
      )}
      <p class="source">
        {words.checks.source}: {finding.source}
      </p>
      <Why rule={finding.rule} />
      <p class="keys">
        {finding.keys.map((key) => (
          <button type="button" class="quiet" key={key} onClick={() => goTo(key)}>
            {told.value[key.replace(/\[\d+\]/g, "")]?.label ?? key} <code>{key}</code>
          </button>
        ))}
      </p>
    </article>
  );
}
