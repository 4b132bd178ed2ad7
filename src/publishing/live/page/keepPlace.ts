/**
 * Remembers where a reader is (what is folded open, how far down, what has the focus) before the page is replaced.
 *
 * @returns puts them back, once the new page stands
 */
export function keepPlace(root: HTMLElement): () => void {
  const groups = (): HTMLDetailsElement[] => [...root.querySelectorAll<HTMLDetailsElement>('details.group')];
  const open = groups().map((group) => group.open);
  const focused = root.contains(document.activeElement) ? document.activeElement?.id : undefined;
  const down = scrollY;
  return () => {
    for (const [at, group] of groups().entries()) group.open = open[at] ?? group.open;
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    // The picture is drawn in the next frame, and only then is the page as long as it was.
    requestAnimationFrame(() => requestAnimationFrame(() => scrollTo(0, down)));
  };
}
