// The page while the script is being edited: its server says when a round is done, the page fetches what it does not have.
// Everything lies beside the page: `scene`, `shape/<key>`, `events`.

const AT_ONCE = 8; // shapes fetched side by side

/** `show(record, fetched)` draws a record and resolves when that is done; `known(key)`: whether a shape need not be fetched. */
export function live({ show, known, fault, lost }) {
  let wanted = 0, shown = 0, working = null, drawn = null;

  async function catchUp() {
    while (shown < wanted) {
      const number = wanted;
      try {
        const record = await json("scene");
        const { round } = record;
        const same = round.fault && drawn !== null && drawn === record.revision; // the last good desk stays as it is
        if (record.parts && !same) await show(record, await shapes(record));
        drawn = record.revision ?? null;
        fault(round.fault?.text ?? null);
        shown = Math.max(round.number, number);
        document.documentElement.dataset.round = String(round.number);
        lost(null);
      } catch (error) {
        lost(String(error.message ?? error));
        return;
      }
    }
  }

  async function shapes(record) {
    const keys = new Set(record.parts.map((part) => part.shape));
    for (const each of record.findings) {
      for (const body of [...(each.evidence?.bodies ?? []), each.evidence?.room]) if (body) keys.add(body.shape);
    }
    const missing = [...keys].filter((key) => key && !known(key)), found = new Map();
    const next = async () => {
      for (let key = missing.pop(); key; key = missing.pop()) {
        const answer = await fetch(`shape/${key}`);
        if (!answer.ok) throw new Error(`a shape could not be fetched (${answer.status})`);
        found.set(key, new Uint8Array(await answer.arrayBuffer()));
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, next));
    return found;
  }

  const events = new EventSource("events");
  events.addEventListener("round", (event) => {
    wanted = Math.max(wanted, JSON.parse(event.data).number);
    working = (working ?? Promise.resolve()).then(catchUp);
  });
  events.addEventListener("open", () => lost(null));
  events.addEventListener("error", () => lost("the watch does not answer; the page tries again by itself"));
}

async function json(path) {
  const answer = await fetch(path, { cache: "no-store" });
  if (!answer.ok) throw new Error(`the desk could not be fetched (${answer.status})`);
  return answer.json();
}
