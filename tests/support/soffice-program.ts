import { spawnSync } from "node:child_process";

/** The office program that is installed, under whichever of its names; undefined for none. */
export function officeProgram(): string | undefined {
  return ["soffice", "libreoffice"].find(
    (name) => spawnSync(name, ["--version"], { timeout: 60_000 }).status === 0,
  );
}
