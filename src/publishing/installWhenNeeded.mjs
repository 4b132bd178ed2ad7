// Runs before `npm start` and `npm test`: installs the packages when they are missing or older than
// package-lock.json, and says plainly when Node is too old. It may use nothing but Node itself.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const oldestNode = 20;

const lockText = readFileSync(join(root, 'package-lock.json'), 'utf8');
const lockHash = createHash('sha256').update(lockText).digest('hex');
const stamp = join(root, 'node_modules', '.tenosite-installed-lock');

/** Did an earlier run install from this very lock file? */
function stamped() {
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === lockHash;
}

/** Does what npm noted down in node_modules agree with the lock file, package by package? */
function installedByHand() {
  const note = join(root, 'node_modules', '.package-lock.json');
  if (!existsSync(note)) return false;
  const installed = JSON.parse(readFileSync(note, 'utf8')).packages ?? {};
  const wanted = Object.entries(JSON.parse(lockText).packages).filter(([path]) => path !== '');
  return wanted.every(
    ([path, { version, optional }]) => (optional && !(path in installed)) || installed[path]?.version === version,
  );
}

const major = Number(process.versions.node.split('.')[0]);
if (major < oldestNode) {
  console.error(`tenosite needs Node ${oldestNode} or newer; this is ${process.versions.node}. See https://nodejs.org.`);
  process.exit(1);
}
if (!stamped()) {
  if (!installedByHand()) {
    console.log('Installing the packages tenosite needs (once; this can take a minute)…');
    const npm = spawnSync('npm', ['ci', '--no-audit', '--no-fund'], {
      cwd: root,
      stdio: 'inherit',
      shell: process.platform === 'win32',
    });
    if (npm.status !== 0) {
      console.error('The packages could not be installed; the lines above say why. Is there a network?');
      process.exit(1);
    }
  }
  writeFileSync(stamp, lockHash);
}
