import { config } from 'zod';
import { readReview } from '../../extraction/readReview.ts';
import './live.css';
import { openAddress } from './page/address.ts';
import { element, setText } from './page/element.ts';
import { folderPart } from './page/folderPart.ts';
import { keepPlace } from './page/keepPlace.ts';
import { filesOf, type LiveSource } from './page/liveFacts.ts';
import { type LivePage, livePage } from './page/livePage.ts';
import { problemsList } from './page/problemsPart.ts';
import { countedOutcomes } from './state/choices.ts';

// The page forbids itself to make code from text; the checks of the sheets must not try.
config({ jitless: true });

const built = JSON.parse(document.getElementById('review-files')?.textContent ?? '{}') as LiveSource;
const announcer = element('p', { class: 'quiet', 'aria-live': 'polite', id: 'announcer' });
const failures = element('div');
const warnings = element('div', { class: 'warnings' });
const place = element('div');
let page: LivePage | undefined;

const announce = (sentence: string): void => setText(announcer, sentence);
const address = openAddress((hash) => page?.follow(hash));

/** Shows the review of these files, or every problem that stands in its way. */
function open(source: LiveSource, hash: string, greeting: readonly string[] = []): void {
  const { review, problems } = readReview(filesOf(source));
  const list = problems.length === 0 ? [] : [problemsList(source.folder, problems)];
  failures.replaceChildren(...(review === undefined ? list : []));
  if (review === undefined) {
    announce(`${source.folder} has problems to cure first.`);
    failures.querySelector('h2')?.focus();
    return;
  }
  if (countedOutcomes(review.protocol).length === 0) {
    failures.append(
      element(
        'p',
        { class: 'caution' },
        'This review counts no outcome as events, so the page has nothing to show.',
      ),
    );
    return;
  }
  page?.close();
  page = livePage(review, source, { address, hash, greeting, announce });
  const putBack = keepPlace(place);
  place.replaceChildren(page.node);
  putBack();
  warnings.replaceChildren(...list);
}

const folder = folderPart((name, files) => {
  const given: LiveSource = {
    ...built,
    folder: name,
    files: Object.fromEntries(
      Object.entries(files).map(([file, bytes]) => [
        file,
        { base64: btoa(bytes.reduce((text, byte) => text + String.fromCharCode(byte), '')) },
      ]),
    ),
  };
  address.write('', true);
  open(given, '', [`${name} is open. Its files stay in this page: nothing was sent or saved.`]);
});

document.addEventListener('keydown', (event) => {
  const typing =
    event.target instanceof HTMLTextAreaElement ||
    (event.target instanceof HTMLInputElement && event.target.type !== 'checkbox');
  if (!(event.ctrlKey || event.metaKey) || event.altKey || typing) return;
  const key = event.key.toLowerCase();
  if (key !== 'z' && key !== 'y') return;
  event.preventDefault();
  if (key === 'y' || event.shiftKey) page?.redo();
  else page?.undo();
});

const skip = element('a', { class: 'skip', href: '#answer' }, 'Skip to the answer');
skip.addEventListener('click', (event) => {
  event.preventDefault();
  document.getElementById('answer')?.focus();
});
document.body.append(
  skip,
  element(
    'div',
    { class: 'page' },
    failures,
    place,
    element('section', { class: 'own', 'aria-label': 'The sheets behind this page' }, folder, warnings),
  ),
  announcer,
);
open(built, address.read());
import.meta.hot?.on('tenosite:review', (source: LiveSource) => open(source, address.read()));
