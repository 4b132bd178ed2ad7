/** Hands a file to the reader, from the page itself: nothing is sent anywhere. */
export function saveFile(name: string, content: Blob): void {
  const url = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser has begun to read by then; without this every export would stay in memory.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
