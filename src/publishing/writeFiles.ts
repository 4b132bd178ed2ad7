import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, relative, resolve } from 'node:path';
import {
  fromFolder,
  isAsWritten,
  listName,
  listText,
  readWritten,
  refuseOtherReview,
  sha256,
  type Written,
} from './writtenFiles.ts';

/** A file by its path within the folder it is written to. */
export interface FileToWrite {
  readonly path: string;
  readonly content: string | Uint8Array;
}

/** Who writes, and for which review. */
export interface Writer {
  /** The command; none removes what another made. Default the pages of `npm start`. */
  readonly by?: string;
  /** The review's folder; a folder with another review's files is refused. */
  readonly review?: string;
  /** May files that no run wrote stand in the folder already? They are kept whatever the answer. Default false. */
  readonly amongOthers?: boolean;
}

/** A file that stood where a run had to write and was kept under another name; both by path within the folder. */
export interface KeptFile {
  readonly path: string;
  readonly now: string;
}

/** What a person should know of files that were kept, one line each. */
export const keptLines = (folder: string, kept: readonly KeptFile[]): readonly string[] =>
  kept.map(
    ({ path, now }) => `Kept: ${folder}/${path} was not as a run wrote it and is now ${folder}/${now}`,
  );

/**
 * Writes files, and removes what the same command wrote there before and does not write any more.
 *
 * Nothing that a person made is lost: only a file that a run wrote and nobody has changed since is replaced or removed.
 * Any other stays where it is, or under a name of its own (`page.edited-1.html`) where it is in the way. Everything is
 * written beside the folder first, so that a run that stops half-way leaves the earlier files.
 *
 * @returns what was kept under another name
 * @throws when the folder holds another review's files, or something and no run has written there
 */
export function replaceFolder(
  folder: string,
  files: readonly FileToWrite[],
  writer: Writer = {},
): readonly KeptFile[] {
  if (!writer.amongOthers && isForeign(folder)) {
    throw new Error(
      `${folder} holds files that no run of tenosite wrote, or one older than 0.2; move them or name another folder with --out`,
    );
  }
  return write(folder, files, writer, 'replace');
}

/** The same for a product that stands beside what else the folder holds. */
export function replaceProduct(
  folder: string,
  files: readonly FileToWrite[],
  writer: Writer & { readonly by: string },
): readonly KeptFile[] {
  return write(folder, files, writer, 'replace');
}

/** Writes files with the same care and removes none. */
export function addPages(
  folder: string,
  files: readonly FileToWrite[],
  writer: Writer = {},
): readonly KeptFile[] {
  return write(folder, files, writer, 'add');
}

/** Does the folder hold something, without a list of what runs wrote? */
function isForeign(folder: string): boolean {
  return existsSync(folder) && readdirSync(folder).length > 0 && readWritten(folder) === undefined;
}

function write(
  folder: string,
  files: readonly FileToWrite[],
  { by = 'pages', review }: Writer,
  manner: 'add' | 'replace',
): readonly KeptFile[] {
  if (review !== undefined) refuseOtherReview(folder, review);
  const target = resolve(folder);
  mkdirSync(dirname(target), { recursive: true });
  const beside = mkdtempSync(join(dirname(target), `.${basename(target)}-`));
  try {
    writeInto(beside, files);
    mkdirSync(target, { recursive: true });
    const before = readWritten(target) ?? { files: {} };
    const seen = review === undefined ? before.review : fromFolder(target, review);
    const note = (list: Written['files']): void =>
      writeWhole(
        target,
        listName,
        listText({ ...(seen === undefined ? {} : { review: seen }), files: list }),
      );
    const known = (path: string): readonly string[] => before.files[path]?.sha256 ?? [];
    const fresh = Object.fromEntries(
      files.map(({ path, content }) => [path, { by, sha256: [sha256(content)] }] as const),
    );
    const either = Object.entries(fresh).map(
      ([path, { sha256: now }]) => [path, { by, sha256: [...known(path), ...now] }] as const,
    );
    // Noted before the first file is in its place: what a run wrote that was ended half-way is still known as ours.
    note({ ...before.files, ...Object.fromEntries(either) });
    const kept = either.flatMap(([path, { sha256: ours }]) => makeWay(target, path, ours, known));
    for (const { path } of files) {
      mkdirSync(dirname(join(target, path)), { recursive: true });
      renameSync(join(beside, path), join(target, path));
    }
    const stale = Object.entries(before.files).filter(
      ([path, made]) => manner === 'replace' && made.by === by && !Object.hasOwn(fresh, path),
    );
    for (const [path] of stale) removeOwn(target, path, known(path));
    const gone = new Set(stale.map(([path]) => path));
    const staying = Object.entries(before.files).filter(([path]) => !gone.has(path));
    note({ ...Object.fromEntries(staying), ...fresh });
    return kept;
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
}

/** Moves aside what stands where a file or one of the folders above it has to be, unless a run wrote it. */
function makeWay(
  target: string,
  path: string,
  ours: readonly string[],
  known: (path: string) => readonly string[],
): readonly KeptFile[] {
  const parts = path.split('/');
  for (let depth = 1; depth < parts.length; depth += 1) {
    const above = parts.slice(0, depth).join('/');
    const there = statSync(join(target, above), { throwIfNoEntry: false });
    if (there === undefined) {
      const isLink = lstatSync(join(target, above), { throwIfNoEntry: false }) !== undefined;
      return isLink ? [moveAside(target, above)] : [];
    }
    if (there.isDirectory()) continue;
    if (isAsWritten(join(target, above), known(above))) {
      rmSync(join(target, above));
      return [];
    }
    return [moveAside(target, above)];
  }
  const there = lstatSync(join(target, path), { throwIfNoEntry: false });
  return there === undefined || isAsWritten(join(target, path), ours) ? [] : [moveAside(target, path)];
}

/** Gives what stands at a path the first free name of the kind `page.edited-1.html`. */
function moveAside(target: string, path: string): KeptFile {
  const [, stem = path, ending = ''] = /^(.*[^/])(\.[^./]+)$/.exec(path) ?? [];
  for (let number = 1; ; number += 1) {
    const now = `${stem}.edited-${number}${ending}`;
    if (lstatSync(join(target, now), { throwIfNoEntry: false }) !== undefined) continue;
    renameSync(join(target, path), join(target, now));
    return { path, now };
  }
}

/** Removes a file that is as a run wrote it, and the folders above it that are empty then. */
function removeOwn(target: string, path: string, ours: readonly string[]): void {
  const within = relative(target, join(target, path));
  if (within.startsWith('..') || !isAsWritten(join(target, path), ours)) return;
  rmSync(join(target, path));
  for (let above = dirname(path); above !== '.'; above = dirname(above)) {
    if (readdirSync(join(target, above)).length > 0) return;
    rmdirSync(join(target, above));
  }
}

/**
 * Writes a file anew that a run wrote and nobody has changed since.
 *
 * @returns false, and nothing is done, where the file is another
 */
export function rewriteOwnFile(folder: string, path: string, content: string): boolean {
  const written = readWritten(folder);
  const entry = written?.files[path];
  if (written === undefined || entry === undefined || !isAsWritten(join(folder, path), entry.sha256))
    return false;
  const now = { ...entry, sha256: [...entry.sha256, sha256(content)] };
  writeWhole(folder, listName, listText({ ...written, files: { ...written.files, [path]: now } }));
  writeWhole(folder, path, content);
  return true;
}

/** A file whole or not at all: written under another name first. */
function writeWhole(folder: string, path: string, content: string): void {
  const beside = join(folder, `.${process.pid}-${basename(path)}`);
  writeFileSync(beside, content);
  renameSync(beside, join(folder, path));
}

/** Writes files into a folder that keeps what else it holds, each file whole or not at all. */
export function addToFolder(folder: string, files: readonly FileToWrite[]): void {
  const target = resolve(folder);
  mkdirSync(target, { recursive: true });
  const beside = mkdtempSync(join(dirname(target), `.${basename(target)}-`));
  try {
    writeInto(beside, files);
    for (const file of files) {
      mkdirSync(dirname(join(target, file.path)), { recursive: true });
      renameSync(join(beside, file.path), join(target, file.path));
    }
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
}

/** Writes one file, and keeps another of its name that holds something else as `name.edited-1.ending`. */
export function writeBesideOthers(path: string, content: string): readonly KeptFile[] {
  const [folder, name] = [dirname(path), basename(path)];
  const kept = makeWay(folder, name, [sha256(content)], () => []);
  addToFolder(folder, [{ path: name, content }]);
  return kept;
}

/** Removes files of a folder by path within it. */
export function removeFiles(folder: string, paths: readonly string[]): void {
  for (const path of paths) rmSync(join(folder, path));
}

/** Every file under a folder, by path within it with forward slashes; empty when there is no folder. */
export function filesUnder(folder: string): ReadonlyMap<string, string> {
  if (!existsSync(folder)) return new Map();
  const paths = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((path) =>
    statSync(join(folder, path)).isFile(),
  );
  return new Map(paths.map((path) => [path.replaceAll('\\', '/'), readFileSync(join(folder, path), 'utf8')]));
}

function writeInto(folder: string, files: readonly FileToWrite[]): void {
  for (const file of files) {
    const path = join(folder, file.path);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, file.content);
  }
}
