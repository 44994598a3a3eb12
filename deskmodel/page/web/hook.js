// `window.deskPage`: what the page shows, to be read by tests and measurements. Nothing here is more than the page itself does.
//
//   settled()       a promise: nothing more is to be drawn
//   state()         {picked, hidden, ghosts, only, filter, open, apart, section, finding, shown, focus, measured, changed, frames}
//   seenAt(x, y)    what a click there would meet: {part (its name), label, kind, error}
//   project(point)  {x, y} in the canvas of a point of the desk, mm
//   turnTo(turn, tilt)   look from there at once
//   frame()         draws one and says {script, whole} in ms: until the script is done, until the picture is
import { Vector3 } from "three";

export function hook({ view, desk, act, measure, page, fit, seen }) {
  const name = (i) => (i === null ? null : desk.part(i).name);
  const names = (set) => set && [...set].map(name).sort();
  window.deskPage = Object.freeze({
    settled: () => view.settled(),
    state: () => ({ picked: name(desk.picked), hidden: names(desk.hidden), ghosts: names(desk.ghosts), only: names(desk.only),
      filter: { ...desk.filter }, open: Object.fromEntries([...desk.open].map(([i, to]) => [desk.record.openings[i].cover, to])),
      apart: desk.apart, section: desk.plane(), finding: page.finding, shown: page.shown, focus: names(desk.focus),
      visible: desk.now.filter((each) => each.shown).length, measured: measure.result, changed: names(desk.changed),
      eye: { target: view.eye.target.toArray(), height: view.eye.height, turn: view.eye.turn, tilt: view.eye.tilt },
      frames: { drawn: view.frames.drawn, calls: view.frames.calls, script: [...view.frames.script] } }),
    poseOf: (part) => [...desk.now[desk.byName.get(part)].pose],
    seenAt: (x, y) => {
      const found = seen(x, y);
      return found && { part: name(found.part), label: found.label, at: found.at, kind: found.place?.kind ?? null,
        error: found.place?.error ?? null };
    },
    project: (point) => view.project(new Vector3(...point)),
    choose: (i) => act.choose(i),
    fit: () => fit(false),
    frame: () => view.timed(),
    turnTo(turn, tilt) { Object.assign(view.eye, { turn, tilt, flight: null }); view.invalidate(); },
  });
}
