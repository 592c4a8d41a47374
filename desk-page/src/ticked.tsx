// Words of the program with names of commands and values in ticks: those are set as such.
export function Ticked({ text }: { text: string }) {
  return <>{text.split("`").map((part, index) => (index % 2 ? <code key={index}>{part}</code> : part))}</>;
}
