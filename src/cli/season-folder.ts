import { readdir, realpath, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import type { SeasonMovement, SeasonProgramme, SeasonWork } from "../model/season.js";
import { SCORE_FILE } from "./season-draft.js";
import { UsageError } from "./usage-error.js";

/** Numbers count as such: "2" before "10". */
const NATURAL = new Intl.Collator("en", { numeric: true });
const inOrder = (a: string, b: string) => NATURAL.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);

/** A movement of which nothing is known but its file. */
export function plainMovement(file: string, parts: readonly string[] = []): SeasonMovement {
  return {
    ...{ title: "", path: file, file, parts, tacet: false, partOf: {} },
    after: { kind: "usual" },
    wishes: {},
  };
}

/**
 * The season that folders and file names make: a folder is a work, its files in natural order are the movements;
 * a folder of folders is a programme. Files beside folders are works by themselves. Files that are named one by
 * one are movements of one work where they follow each other and are in one folder.
 * @throws UsageError for a folder without scores, or that cannot be read
 */
export async function seasonOfFolders(
  paths: readonly string[],
  parts: readonly string[],
): Promise<readonly SeasonProgramme[]> {
  const programmes: SeasonProgramme[] = [];
  let files: string[] = [];
  const endFiles = () => {
    const [first] = files;
    if (first === undefined) return;
    const title = files.length > 1 ? basename(resolve(dirname(first))) : "";
    programmes.push(unnamed([workOf(title, files, parts)]));
    files = [];
  };
  for (const path of paths) {
    if (await isFolder(path)) {
      endFiles();
      programmes.push(...(await programmesIn(path, parts)));
    } else {
      if (files.length > 0 && dirname(files[0] ?? "") !== dirname(path)) endFiles();
      files.push(path);
    }
  }
  endFiles();
  return programmes;
}

/** The scores of one folder in natural order, without those of folders in it. */
export async function scoresIn(folder: string): Promise<readonly string[]> {
  const content = await contentOf(folder);
  return content.flatMap(({ kind, path }) => (kind === "score" ? [path] : []));
}

export async function isFolder(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch (error) {
    // What is not there is told of when it is to be read.
    if (error instanceof Error && "code" in error) return false;
    throw error;
  }
}

/** No library of parts is nested deeper. */
const DEEPEST = 12;

async function programmesIn(
  root: string,
  parts: readonly string[],
): Promise<readonly SeasonProgramme[]> {
  const programmes: SeasonProgramme[] = [];
  const seen = new Set<string>();
  await walk(root, []);
  if (programmes.length === 0) throw new UsageError(`${root}: there are no scores in this folder`);
  return programmes;

  /** @param names of the folders on the way from the root */
  async function walk(folder: string, names: readonly string[]): Promise<void> {
    const real = await realpath(folder);
    // A link may lead back to where it stands.
    if (seen.has(real) || names.length > DEEPEST) return;
    seen.add(real);
    const content = await contentOf(folder);
    if (!content.some(({ kind }) => kind === "folder")) {
      const scores = content.map(({ path }) => path);
      if (scores.length === 0) return;
      const title = names.at(-1) ?? (scores.length > 1 ? basename(resolve(folder)) : "");
      add(names.slice(0, -1), workOf(title, scores, parts));
      return;
    }
    // In the order of the names, whichever of them are folders: it is that of the concert.
    for (const { kind, path, name } of content) {
      if (kind === "score") add(names, workOf("", [path], parts));
      else await walk(path, [...names, name]);
    }
  }

  function add(names: readonly string[], work: SeasonWork): void {
    const name = names.join(" / ");
    const last = programmes.at(-1);
    if (last?.name === name && name !== "") {
      programmes[programmes.length - 1] = { ...last, works: [...last.works, work] };
    } else programmes.push({ ...unnamed([work]), name });
  }
}

/** Works without an order. */
function unnamed(works: readonly SeasonWork[]): SeasonProgramme {
  return { name: "", date: "", works };
}

function workOf(title: string, files: readonly string[], parts: readonly string[]): SeasonWork {
  return { title, movements: files.map((file) => plainMovement(file, parts)) };
}

/** The folders and scores of a folder, in natural order. */
async function contentOf(folder: string) {
  try {
    const names = (await readdir(folder)).filter((name) => !name.startsWith(".")).sort(inOrder);
    const content: { kind: "folder" | "score"; path: string; name: string }[] = [];
    for (const name of names) {
      const path = join(folder, name);
      if (await isFolder(path)) content.push({ kind: "folder", path, name });
      else if (SCORE_FILE.test(name)) content.push({ kind: "score", path, name });
    }
    return content;
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error)) throw error;
    throw new UsageError(`${folder}: the folder cannot be read (${String(error.code)})`);
  }
}
