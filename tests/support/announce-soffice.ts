import { officeProgram } from "./soffice-program.js";

/** Runs once before all tests: a missing office program is one line here, and a failure where CI is set. */
export default function announceOffice(): void {
  if (officeProgram() !== undefined) return;
  const reason = "no soffice here (apt-get install libreoffice-calc)";
  // A skipped check must not pass for a passed one where nobody reads the output.
  if (process.env["CI"]) throw new Error(`spreadsheets cannot be opened: ${reason}`);
  console.warn(`tests in an office program skipped: ${reason}`);
}
