import { stringify } from "yaml";
import { INSTRUMENT_IDS } from "../../model/instrument.js";
import {
  USUAL_HAND_TIMES,
  USUAL_LIMITS,
  USUAL_PROFILE,
  USUAL_TEMPERATURE,
} from "../../instruments/usual-profile.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { writeResult } from "../output.js";

const HEADER = `# How long your hands need, in seconds. The figures below are the usual ones: assumptions, not yours.
# Time each of your own changes a few times, and take the # away from the lines you can fill in,
# with the slower figure. What stays behind # keeps its usual figure, and the report says so.
# Use it with: muta check PART --profile THIS-FILE
#
# putDownSeconds: to lay the instrument safely on its stand. pickUpSeconds: to take it up.
# settleSeconds: embouchure, fingers and a breath. usual: for instruments not listed.
# sharedMouthpiece: instruments played with one mouthpiece; [] when each has its own.
# pairSeconds: one change timed as a whole, such as { "clarinet-bflat>clarinet-a": 4.2 }
# limits: strokes a second you can tongue and keep up; seconds of a phrase on one breath, of a soft
# one, and of a soft note above the staff (C6 written). What is beyond them is listed, not forbidden.
# temperature: what the pitch of an instrument that has lain is estimated from. hallCelsius: the hall,
# in °C. playingCelsius: the bore when it is warm. coolingSeconds: until an instrument laid down is two
# thirds of the way to the hall.
# carries: what you have with you, to compare keys on. Instruments are named:
${wrapIds()}
`;

/** The names of the instruments, a few to a line. */
function wrapIds(): string {
  const lines: string[] = [];
  for (let k = 0; k < INSTRUMENT_IDS.length; k += 4) {
    lines.push(`#   ${INSTRUMENT_IDS.slice(k, k + 4).join(", ")}`);
  }
  return lines.join("\n");
}

/** Runs `muta profile`: the usual figures as a file to edit, every line behind a #. */
export async function runProfile(options: {
  readonly out?: string;
  readonly force: boolean;
}): Promise<ExitCode> {
  const { sharedMouthpiece, carries } = USUAL_PROFILE;
  const figures = stringify({
    name: "your name",
    ...USUAL_HAND_TIMES,
    sharedMouthpiece,
    carries,
    limits: USUAL_LIMITS,
    temperature: USUAL_TEMPERATURE,
  });
  const text = `${HEADER}${figures.replace(/^/gm, "# ").replace(/# $/, "")}`;
  await writeResult(text, { path: options.out, force: options.force, inputs: [] });
  return EXIT.clean;
}
