// What is loaded when it is first asked for.

/**
 * @template T
 * @param {() => Promise<T>} load
 * @param {() => void} arrived Called once it is here, or could not be loaded.
 * @returns {() => T | 'loading' | 'failed'} Asks for it; the first call loads it.
 */
export function late(load, arrived) {
  /** @type {T | 'loading' | 'failed' | undefined} */
  let here;
  return () => {
    if (here === undefined) {
      here = 'loading';
      load().then((loaded) => { here = loaded; }, () => { here = 'failed'; }).then(arrived);
    }
    return here;
  };
}
