/** Runs pieces of work one after the other, in the order they were asked for; a failed one does not hold up the next. */
export function createTurns(): <T>(work: () => Promise<T>) => Promise<T> {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const mine = last.then(work, work);
    last = mine.catch(() => undefined);
    return mine;
  };
}
