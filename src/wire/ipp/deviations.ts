/**
 * Every departure from RFC 8010 (and the few rules of RFC 8011 that a decoder meets) which is forgiven, by name.
 * The text says what was wrong and how it was read; `{at}` is the attribute. Nothing is forgiven without an entry here.
 */
export const DEVIATIONS = {
  'header-short': 'The reply ends before its eight header octets: it is no IPP message.',
  'version-unknown': 'The version number is none that IPP has ({at}): it is no IPP message.',
  'version-new': 'The version {at} is newer than any known here; read by the rules of IPP/2.',
  'message-too-large': 'The message is longer than the limit of {at} octets; the rest was left unread.',
  'end-tag-missing': 'The end-of-attributes tag is missing; what came before was kept.',
  'message-cut': 'The message ends in the middle of {at}; what came before was kept.',
  'too-many-values': 'The message holds more than {at} values; the rest was left unread.',
  'group-tag-unknown': 'Nobody registered the group tag {at}; its attributes were kept under that number.',
  'attribute-outside-group': '{at} stands before any group tag; read as an operation attribute.',
  'value-without-attribute': 'A further value has no attribute before it; left out.',
  'attribute-repeated': '{at} comes more than once in its group; its values were joined.',
  'name-not-printable': 'The attribute name {at} holds octets that a keyword may not have; kept as it came.',
  'tag-unknown': 'A value of {at} has a tag that nobody registered; kept as octets.',
  'extension-tag-short': 'A value of {at} has the extension tag but no four octets for it; kept as octets.',
  'integer-length': 'A number in {at} does not have four octets; read as far as it goes.',
  'boolean-length': 'A true-or-false value of {at} does not have one octet; read as true unless all octets are zero.',
  'boolean-value': 'A true-or-false value of {at} is neither 0 nor 1; read as true.',
  'value-length': 'A value of {at} has a length that its type does not allow; kept as octets.',
  'value-empty': 'A value of {at} is empty where its type needs octets; read as no value.',
  'out-of-band-filled': 'A value of {at} that stands for "none" has content; the content was left out.',
  'date-impossible': 'A date in {at} does not exist; kept as octets.',
  'resolution-unit': 'A resolution in {at} has an unknown unit; kept under its number.',
  'range-reversed': 'A range in {at} has its upper end below its lower one; kept as it came.',
  'language-lengths': 'A text with language in {at} has lengths that do not fit; kept as octets.',
  'text-nul': 'A text in {at} ends in NUL octets; they were cut off.',
  'text-not-utf8': 'A text in {at} is not UTF-8; read as Latin-1.',
  'charset-other': 'The message says its text is in {at}, where UTF-8 is the rule; read in that character set.',
  'charset-unknown': 'The message names a character set that is not known here ({at}); read as UTF-8.',
  'collection-filled': 'The opening of a collection in {at} has content of its own; left out.',
  'collection-open': 'A collection in {at} is never closed; closed where the next attribute begins.',
  'collection-end-stray': 'A collection ends in {at} where none is open; left out.',
  'collection-too-deep': 'Collections in {at} lie deeper than the limit; the inner ones were left out.',
  'member-without-name': 'A value inside a collection of {at} has no member name; left out.',
  'member-without-value': 'A member of a collection in {at} has a name but no value; kept empty.',
  'member-repeated': 'A member comes twice in a collection of {at}; its values were joined.',
  'member-name-stray': 'A member name stands outside of any collection in {at}; left out.',
  'member-tag-named': 'A part of a collection in {at} has an attribute name of its own; the name was left out.',
  'request-id-other': 'The reply has another request number than was asked ({at}); taken as the answer all the same.',
  'charset-not-first':
    'The reply does not begin with attributes-charset and attributes-natural-language; read all the same.',
  'group-repeated': 'The reply has more than one group of {at}; the later ones were joined to the first.',
  'status-unknown': 'Nobody registered the status {at}; kept as its number.',
  'content-type-other': 'The reply calls itself {at} rather than application/ipp, yet it is IPP; read as such.',
} as const;

export type DeviationName = keyof typeof DEVIATIONS;

/** Distinct sentences kept for one message; a hostile reply may hold far more. */
const MOST_SENTENCES = 60;
const LONGEST_NAME = 80;

/** A name or number out of a reply, made fit for a sentence: no control or format characters, bounded length. */
export function quotable(text: string): string {
  const clean = text.replace(
    /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu,
    (c) => `\\u${(c.codePointAt(0) ?? 0).toString(16).padStart(4, '0')}`,
  );
  return clean.length > LONGEST_NAME ? `${clean.slice(0, LONGEST_NAME)}…` : clean;
}

/** The sentence of one deviation. */
export function deviationSentence(name: DeviationName, at = ''): string {
  return DEVIATIONS[name].replace('{at}', () => quotable(at));
}

/** Gathers the deviations of one message, each once for each attribute, with a bound on how many are kept. */
export class DeviationLog {
  readonly #names = new Set<string>();
  readonly #sentences = new Set<string>();
  #leftOut = 0;

  add(name: DeviationName, at = ''): void {
    this.#names.add(name);
    const sentence = deviationSentence(name, at);
    if (this.#sentences.has(sentence)) return;
    if (this.#sentences.size >= MOST_SENTENCES) this.#leftOut += 1;
    else this.#sentences.add(sentence);
  }

  names(): string[] {
    return [...this.#names];
  }

  sentences(): string[] {
    const more = this.#leftOut > 0 ? [`${this.#leftOut} further departures of the same kinds were left out.`] : [];
    return [...this.#sentences, ...more];
  }
}
