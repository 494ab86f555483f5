// @ts-expect-error: the package has no types; what is used of it is declared below.
import { enableLog, enableLogToBuffer, LOG_WARNING, VerovioToolkit } from "verovio/esm";
// @ts-expect-error: the same.
import createVerovioModule from "verovio/wasm";

interface Toolkit {
  loadData(data: string): boolean;
  getLog(): string;
  renderToSVG(page: number): string;
}

/** What another program says of a document while it opens and draws it. @throws Error where it cannot */
export type VerovioLog = (document: string) => string;

/** Loads the program; its warnings are told, ids left out, since they are made anew each time. */
export async function loadVerovioLog(): Promise<VerovioLog> {
  const wasm: unknown = await (createVerovioModule as () => Promise<unknown>)();
  const toolkit = new (VerovioToolkit as new (module: unknown) => Toolkit)(wasm);
  (enableLog as (level: unknown, module: unknown) => void)(LOG_WARNING, wasm);
  (enableLogToBuffer as (value: boolean, module: unknown) => void)(true, wasm);
  // Drawing empties what loading has said. Ids, which have figures in them, are made anew each time.
  const said = () => toolkit.getLog().replace(/'[^']*\d[^']*'/g, "''");
  return (document) => {
    if (!toolkit.loadData(document)) throw new Error("verovio does not read this");
    const loading = said();
    if (!toolkit.renderToSVG(1).includes("<svg")) throw new Error("verovio does not draw this");
    return loading + said();
  };
}
