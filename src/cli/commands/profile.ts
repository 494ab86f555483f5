import { stringify } from "yaml";
import { USUAL_PROFILE } from "../../instruments/usual-profile.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { writeResult } from "../output.js";

const HEADER = `# How long your hands need, in seconds. These are the usual figures: assumptions, not yours.
# Time each of your own changes a few times, at rehearsal speed, and write down the slower ones.
# What you leave out keeps its usual figure. Use it with: muta check PART --profile THIS-FILE
#
# One change timed as a whole goes under pairSeconds, for example:
#   pairSeconds: { "clarinet-bflat>clarinet-a": 4.2 }
# A player with a mouthpiece for each instrument writes: sharedMouthpiece: []
`;

/** Runs `muta profile`: the built-in profile as a file to edit. */
export async function runProfile(options: {
  readonly out?: string;
  readonly force: boolean;
}): Promise<ExitCode> {
  const { assumed, ...figures } = { ...USUAL_PROFILE, name: "your name" };
  const text = (assumed ? HEADER : "") + stringify(figures);
  await writeResult(text, { path: options.out, force: options.force, inputs: [] });
  return EXIT.clean;
}
