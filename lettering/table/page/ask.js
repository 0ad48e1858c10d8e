// The page's questions to the server, and what the server tells by itself.

/** What the server refused, in its own words. */
export class Refused extends Error {
  constructor(said, status) {
    super(said);
    this.status = status;
  }
}

async function answered(answer) {
  const type = answer.headers.get("content-type") ?? "";
  const given = type.includes("json") ? await answer.json() : { said: await answer.text() };
  if (!answer.ok) throw new Refused(sentence(given.said || "The table does not answer."), answer.status);
  return given;
}

/** Return words with a capital at their beginning, unless that is the name of a file. */
export function sentence(words) {
  return words.replace(/^[a-z]+(?=[ ’'])/, (first) => first.charAt(0).toUpperCase() + first.slice(1));
}

export async function ask(path) {
  return answered(await fetch(path));
}

export async function tell(path, fields = {}) {
  return answered(
    await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(fields),
    }),
  );
}

/** Bring a file: `kind` is art, page or manuscript. */
export async function bring(kind, file, query = {}) {
  const search = new URLSearchParams({ name: file.name, ...query });
  return answered(await fetch(`/api/upload/${kind}?${search}`, { method: "POST", body: file }));
}

/** Call `heard[kind](facts)` for everything that happens on the table, also after the line was cut. */
export function listen(heard) {
  const source = new EventSource("/api/events");
  for (const [kind, hear] of Object.entries(heard)) {
    source.addEventListener(kind, (event) => hear(JSON.parse(event.data)));
  }
  source.addEventListener("error", () => heard.gone?.());
}
