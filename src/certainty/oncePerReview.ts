const kept = new WeakMap<object, Map<string, unknown>>();

/**
 * Works something out once for each review, however many questions need it. A review is never changed in place, so what
 * was worked out of it holds as long as it does.
 *
 * @param key names the thing and everything beside the review that it hangs on
 */
export function oncePerReview<Value>(review: object, key: string, make: () => Value): Value {
  const own = kept.get(review) ?? new Map<string, unknown>();
  kept.set(review, own);
  if (!own.has(key)) own.set(key, make());
  return own.get(key) as Value;
}
