// The page while the script is being edited: its server says what a round came to and when its desk can be had, the page
// fetches what it does not have. Everything lies beside the page: `scene`, `shape/<key>`, `events`.

const AT_ONCE = 8; // shapes fetched side by side
const AGAIN = 5000; // ms until an address is tried again that was refused
const LATE = 100; // ms after which nobody waits for a picture of the verdict: a page in the background draws none

/** `tell(said)` says of a round that it has begun, or what it came to, before its desk is there; `show(record, fetched)` draws a
 *  record and resolves when that is done; `known(key)`: whether a shape need not be fetched. */
export function live({ tell, show, known, fault, lost }) {
  let wanted = 0, shown = 0, working = null, drawn = null, seen = null;

  async function catchUp() {
    while (shown < wanted) {
      const number = wanted;
      try {
        const record = await json("scene");
        const { round } = record;
        const same = round.fault && drawn !== null && drawn === record.revision; // the last good desk stays as it is
        const fetched = record.parts && !same ? await shapes(record) : null;
        await seen; // a large desk keeps the browser busy: the verdict is to be read before
        if (fetched) await show(record, fetched);
        drawn = record.revision ?? null;
        fault(round.fault?.text ?? null);
        if (round.fault && round.number >= wanted) tell({ number: round.number, fault: round.fault });
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

  let events = null, later = null;

  function listen() {
    clearTimeout(later);
    events?.close();
    events = new EventSource("events");
    events.addEventListener("begun", (event) => {
      const { number } = JSON.parse(event.data);
      if (number > shown && drawn !== null) tell({ number, begun: true });
    });
    events.addEventListener("verdict", (event) => {
      const said = JSON.parse(event.data);
      if (said.number <= shown) return;
      fault(said.fault?.text ?? null);
      tell(said);
      seen = painted().then(() => { document.documentElement.dataset.verdict = String(said.number); });
    });
    events.addEventListener("round", (event) => {
      wanted = Math.max(wanted, JSON.parse(event.data).number);
      working = (working ?? Promise.resolve()).then(catchUp);
    });
    events.addEventListener("open", () => lost(null));
    events.addEventListener("error", () => {
      if (events.readyState !== EventSource.CLOSED) return lost("the watch does not answer; the page tries again by itself");
      lost("the watch does not serve this address, or too many pages listen; if it was started anew, open the address it prints");
      later = setTimeout(listen, AGAIN); // the browser has given up
    });
  }

  // A browser keeps few connections to one server, and each page that listens takes one: those that nobody sees let go of it.
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) return listen();
    clearTimeout(later);
    events.close();
  });
  listen();
}

async function json(path) {
  const answer = await fetch(path, { cache: "no-store" });
  if (!answer.ok) throw new Error(`the desk could not be fetched (${answer.status})`);
  return answer.json();
}

/** When what was written has been drawn: a frame begins with `requestAnimationFrame`, and a message comes after its end. */
function painted() {
  return new Promise((done) => {
    setTimeout(done, LATE);
    requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = done;
      channel.port2.postMessage(null);
    });
  });
}
