import type { InputFailure } from "../model/report.js";
import type { RenderOptions } from "../reporters/index.js";
import { complain, failureText } from "./load.js";
import { writeResult } from "./output.js";
import { describeTerminal } from "./terminal.js";
import { wishFiles, type WishOptions } from "./wishes.js";

/** What decides where a report goes and how it looks. */
export interface DeliveryOptions extends WishOptions {
  readonly profile?: string;
  readonly out?: string;
  readonly force: boolean;
  readonly color: boolean;
}

/**
 * Tells what could not be read, and writes the report on the rest, where there is any.
 * @param files the inputs, which are never written over
 * @throws UsageError when the target exists, is an input, or cannot be written
 */
export async function deliver(
  report: { readonly parts: readonly unknown[]; readonly errors: readonly InputFailure[] },
  files: readonly string[],
  options: DeliveryOptions,
  render: (rendering: RenderOptions) => string,
): Promise<void> {
  for (const failure of report.errors) complain(failureText(failure));
  if (report.parts.length === 0) return;
  const { out, force, profile } = options;
  const { width, style } = describeTerminal(options.color && out === undefined);
  const inputs = [...files, ...wishFiles(options), ...(profile === undefined ? [] : [profile])];
  await writeResult(render({ width, style, entries: false, bom: false }), {
    path: out,
    force,
    inputs,
  });
}
