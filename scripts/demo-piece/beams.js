/** Which eighths are beamed together: those that follow each other within one group of the bar. */
const GROUPS = {
  "4/4": [12, 12, 12, 12],
  "3/4": [12, 12, 12],
  "2/4": [12, 12],
  "6/8": [18, 18],
  "5/8": [18, 12],
  "7/8": [12, 12, 18],
};

/** Gives each beamed note of a bar its `beam`: begin, continue or end. */
export function beamBar(events, meter) {
  let run = [];
  const close = () => {
    if (run.length > 1) {
      for (const event of run) event.beam = "continue";
      run[0].beam = "begin";
      run.at(-1).beam = "end";
    }
    run = [];
  };
  let group = -1;
  for (const event of events.filter(({ kind, grace }) => kind === "note" && !grace)) {
    const here = groupAt(event.at, meter);
    if (here !== group || event.value !== "e" || !event.pitch) close();
    if (event.value === "e" && event.pitch) run.push(event);
    group = here;
  }
  close();
}

function groupAt(at, meter) {
  let end = 0;
  return GROUPS[meter].findIndex((length) => at < (end += length));
}
