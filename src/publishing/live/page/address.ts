/** Writes to the address at least this far apart; browsers ignore, and complain of, a stream of them. */
const shortestPause = 80;

/** The part of the address after `#`, as the place where the state is kept. */
export interface Address {
  /** Shows a state in the address; `step` makes the Back button return to what was there. */
  readonly write: (hash: string, step: boolean) => void;
  readonly read: () => string;
}

/**
 * Keeps the address in step with the page. Changes that follow each other faster than {@link shortestPause} share one
 * entry of the browser's own history, and the last of them is what the address ends up with.
 */
export function openAddress(onChange: (hash: string) => void): Address {
  let last = Number.NEGATIVE_INFINITY;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const put = (hash: string, step: boolean): void => {
    last = performance.now();
    const url = `${location.pathname}${location.search}${hash === '' ? '' : `#${hash}`}`;
    if (step) history.pushState(null, '', url);
    else history.replaceState(null, '', url);
  };
  const read = (): string => location.hash.slice(1);
  const heard = (): void => {
    // What was waiting to be written is older than where the reader has just gone.
    clearTimeout(waiting);
    onChange(read());
  };
  addEventListener('popstate', heard);
  addEventListener('hashchange', heard);
  return {
    read,
    write(hash, step) {
      clearTimeout(waiting);
      const pause = last + shortestPause - performance.now();
      if (pause <= 0) put(hash, step);
      else waiting = setTimeout(() => put(hash, step), pause);
    },
  };
}
