import { formatProblem, type Problem } from '../../../extraction/problem.ts';
import { element } from './element.ts';

/** Every problem of a folder, each in the words of `npm start -- --check`, with the file, line and column first. */
export function problemsList(folder: string, problems: readonly Problem[]): HTMLElement {
  const errors = problems.filter(({ severity }) => severity === 'error').length;
  const warnings = problems.length - errors;
  const counted = (number: number, word: string) => `${number} ${word}${number === 1 ? '' : 's'}`;
  const list = element(
    'ol',
    { class: 'problems' },
    ...problems.map((problem) => element('li', { class: `is-${problem.severity}` }, formatProblem(problem))),
  );
  if (errors === 0)
    return element(
      'details',
      { class: 'folded checks' },
      element('summary', {}, `${folder}: ${counted(warnings, 'warning')}`),
      list,
    );
  return element(
    'section',
    { class: 'checks failed', 'aria-labelledby': 'checks' },
    element(
      'h2',
      { id: 'checks', tabindex: '-1' },
      `${folder}: ${counted(errors, 'error')}, ${counted(warnings, 'warning')}`,
    ),
    element(
      'p',
      {},
      'Cure the errors and choose the folder again. Nothing was changed on this page, and no file was touched.',
    ),
    list,
  );
}
