import { spawnSync } from 'node:child_process';

/** Faces whose every character is as wide as in Arial: itself, and the two made to stand in for it. */
const asWideAsArial = ['Arial', 'Liberation Sans', 'Arimo'];

/** Which face would a program that asks for Arial get here? Undefined where fontconfig is missing. */
function faceForArial(): string | undefined {
  const { status, stdout } = spawnSync('fc-match', ['--format=%{family}', 'Arial'], { encoding: 'utf8' });
  return status === 0 && stdout !== '' ? stdout : undefined;
}

/**
 * Why words set in Arial would come out in other widths on this machine; undefined where they would not. Slides name
 * Arial and are measured with its widths, so that a test of where words end needs such a face.
 */
export function whyNoArialWidths(): string | undefined {
  const face = faceForArial();
  if (face === undefined)
    return 'fc-match is not installed, so nobody can tell which face stands in for Arial';
  // A face may have several names, with commas between.
  if (face.split(',').some((name) => asWideAsArial.includes(name))) return undefined;
  return `no face as wide as Arial is installed (${face} would stand in; fonts-liberation has one)`;
}
