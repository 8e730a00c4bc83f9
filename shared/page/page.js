// What the page does beyond being read: it shows by itself what changes. Without this script everything still works by links, forms
// and loading again. Nothing is written into the page as markup but what this same server sent as a page.

const WAIT_MS = 300;
const AT_MOST_EVERY_MS = 1_500;
const LOST_MS = 5_000;
const AGAIN_MS = 30_000;

const { events } = document.body.dataset;
if (events !== undefined) follow(events);
warnOfWaiting();

/** @param {string} address of the stream of events */
function follow(address) {
  listen(`${address}?looks=true`, refresher(), false);
}

/**
 * @param {string} address
 * @param {() => void} soon
 * @param {boolean} wasLost
 */
function listen(address, soon, wasLost) {
  const source = new EventSource(address);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let losing;
  source.addEventListener('open', () => {
    clearTimeout(losing);
    losing = undefined;
    tellState('live');
    // Events that came while nobody listened are not sent again: look once.
    if (wasLost) soon();
    wasLost = false;
  });
  source.addEventListener('error', () => {
    wasLost = true;
    losing ??= setTimeout(() => tellState('lost'), LOST_MS);
    // A browser tries again by itself, unless the answer was no stream: then too many listen, or the sign-in is over.
    if (source.readyState === EventSource.CLOSED) setTimeout(() => listen(address, soon, true), AGAIN_MS);
  });
  source.addEventListener('look', soon);
  source.addEventListener('gap', soon);
  for (const kind of ['fault', 'cleared', 'supply', 'printer-new', 'printer-gone']) {
    source.addEventListener(kind, (event) => {
      soon();
      announce(JSON.parse(event.data).summary);
    });
  }
}

/** @param {'live' | 'lost'} state */
function tellState(state) {
  const place = document.getElementById('live');
  if (place === null) return;
  place.textContent = (state === 'live' ? place.dataset.liveWords : place.dataset.lostWords) ?? '';
  document.body.classList.toggle('lost', state === 'lost');
}

/** @param {unknown} words */
function announce(words) {
  const news = document.getElementById('news');
  if (news !== null && typeof words === 'string') news.textContent = words;
}

/** Several events together lead to one look, and looks keep a distance. */
function refresher() {
  let last = Number.NEGATIVE_INFINITY;
  let waiting = false;
  return () => {
    if (waiting) return;
    waiting = true;
    const wait = Math.max(WAIT_MS, last + AT_MOST_EVERY_MS - performance.now());
    setTimeout(async () => {
      waiting = false;
      last = performance.now();
      await refresh().catch(() => undefined);
    }, wait);
  };
}

/** Fetches this page again and exchanges the parts that differ. */
async function refresh() {
  const answer = await fetch(location.href, { headers: { Accept: 'text/html' } });
  if (!answer.ok || answer.redirected) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
  for (const part of document.querySelectorAll('[data-live]')) {
    const other = fresh.getElementById(part.id);
    if (other !== null) bring(part, other);
  }
}

/**
 * Brings a part to what it is now. Where both consist of children with keys, only the children that differ are touched.
 * @param {Element} part
 * @param {Element} fresh
 */
function bring(part, fresh) {
  if (part.isEqualNode(fresh) || isBeingWrittenIn(part)) return;
  const keyed = [...part.children].some(hasKey) && [...fresh.children].some(hasKey);
  if (keyed) bringChildren(part, fresh);
  else if (hasKeyedList(part) && part.children.length === fresh.children.length) {
    [...part.children].forEach((child, at) => {
      const other = fresh.children[at];
      if (other !== undefined) bring(child, other);
    });
  } else exchange(part, fresh);
}

/** @param {Element} child */
function hasKey(child) {
  return child.hasAttribute('data-key');
}

/** @param {Element} part */
function hasKeyedList(part) {
  return part.querySelector('[data-key]') !== null;
}

/**
 * @param {Element} part
 * @param {Element} fresh
 */
function bringChildren(part, fresh) {
  const old = new Map([...part.children].map((child) => [keyOf(child), child]));
  const wanted = [...fresh.children].map((child) => {
    const before = old.get(keyOf(child));
    if (before === undefined) return document.importNode(child, true);
    old.delete(keyOf(child));
    bring(before, child);
    return part.contains(before) ? before : (byKey(part, keyOf(child)) ?? document.importNode(child, true));
  });
  for (const child of old.values()) child.remove();
  wanted.forEach((child, at) => {
    if (part.children[at] !== child) part.insertBefore(child, part.children[at] ?? null);
  });
}

/** @param {Element} child */
function keyOf(child) {
  return child.getAttribute('data-key') ?? child.id;
}

/**
 * @param {Element} part
 * @param {string} key
 */
function byKey(part, key) {
  return [...part.children].find((child) => keyOf(child) === key);
}

/** A note that somebody is writing is not taken from under their hands. @param {Element} part */
function isBeingWrittenIn(part) {
  return part.contains(document.activeElement) && document.activeElement instanceof HTMLInputElement;
}

/**
 * Puts the new part where the old one was; what a person opened stays open, and the focus stays where it was.
 * @param {Element} part
 * @param {Element} fresh
 */
function exchange(part, fresh) {
  const made = document.importNode(fresh, true);
  for (const open of part.querySelectorAll('details[id]')) {
    made
      .querySelector(`#${CSS.escape(open.id)}`)
      ?.toggleAttribute('open', /** @type {HTMLDetailsElement} */ (open).open);
  }
  const focused = part.contains(document.activeElement) ? document.activeElement : null;
  const same = focused === null ? undefined : focusableLike(focused, made);
  made.classList.add('changed');
  part.replaceWith(made);
  same?.focus();
}

/**
 * @param {Element} focused
 * @param {Element} within
 * @returns {HTMLElement | undefined}
 */
function focusableLike(focused, within) {
  const wanted = focused.getAttribute('href') ?? focused.textContent;
  return /** @type {HTMLElement | undefined} */ (
    [...within.querySelectorAll('a[href], button, summary')].find(
      (one) => one.tagName === focused.tagName && (one.getAttribute('href') ?? one.textContent) === wanted,
    )
  );
}

/** A look at a printer takes seconds: the button that asks for it says that it was pressed. */
function warnOfWaiting() {
  document.addEventListener('submit', (event) => {
    if (!(event.target instanceof HTMLFormElement)) return;
    event.target.querySelector('button:not(.plainly)')?.setAttribute('aria-busy', 'true');
  });
  // Coming back by the browser's history shows the page as it was left.
  addEventListener('pageshow', () => {
    for (const button of document.querySelectorAll('[aria-busy]')) button.removeAttribute('aria-busy');
  });
}
