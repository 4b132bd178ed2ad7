import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';

/** A file by its path within the folder it is written to. */
export interface FileToWrite {
  readonly path: string;
  readonly content: string | Uint8Array;
}

/** Put into each folder that is replaced as a whole, so that no other folder ever is. */
const ownMark = '.tenosite-pages';
const ownMarkFile = { path: ownMark, content: 'Pages written by tenosite; replaced by the next run.\n' };

/** Did a run of ours make this folder? */
export const isFolderOfPages = (folder: string): boolean => existsSync(join(folder, ownMark));

/**
 * Replaces a folder of pages as a whole: everything is written beside it first and then renamed into its
 * place, so that a run that stops half-way leaves the earlier pages, and no page of an earlier review stays
 * among the new ones.
 *
 * @param keep files and folders by path within it that stay as they are
 * @throws when the folder holds something and no earlier run made it
 */
export function replaceFolder(
  folder: string,
  files: readonly FileToWrite[],
  keep: readonly string[] = [],
): void {
  const target = resolve(folder);
  if (existsSync(target) && readdirSync(target).length > 0 && !isFolderOfPages(target)) {
    throw new Error(
      `${folder} holds files that no run of tenosite wrote; move them or delete the folder first`,
    );
  }
  mkdirSync(dirname(target), { recursive: true });
  const beside = mkdtempSync(join(dirname(target), `.${basename(target)}-`));
  try {
    const fresh = join(beside, 'fresh');
    writeInto(fresh, [...files, ownMarkFile]);
    const earlier = join(beside, 'earlier');
    if (existsSync(target)) renameSync(target, earlier);
    for (const path of keep) {
      if (!existsSync(join(earlier, path)) || existsSync(join(fresh, path))) continue;
      mkdirSync(dirname(join(fresh, path)), { recursive: true });
      renameSync(join(earlier, path), join(fresh, path));
    }
    renameSync(fresh, target);
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
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

/** Adds to a folder of pages, or starts one that a later run may replace. */
export function addPages(folder: string, files: readonly FileToWrite[]): void {
  const isNew = !existsSync(folder) || readdirSync(folder).length === 0;
  addToFolder(folder, isNew ? [...files, ownMarkFile] : files);
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
