/** An answer; the body as JSON, unless it is text or octets already. */
export interface Answer {
  readonly status: number;
  readonly body: unknown;
  /**
   * Media type. Whatever is `text/html; charset=utf-8` is shown under the strict policy of `headers.ts`: style sheets, scripts and
   * pictures from here only, nothing inline.
   */
  readonly type?: string;
  readonly headers?: Readonly<Record<string, string>>;
  /** Of a problem: what a person at a browser is told, where its own words are for programs. */
  readonly forPeople?: string;
  /** Goes on after the body: called once, with a way to say more and a signal for when nobody listens any more. */
  readonly more?: (say: (text: string) => void, gone: AbortSignal) => void;
}

/** What is asked, after every check of who asks and from where. */
export interface Asked {
  /** In capitals. HEAD is asked as GET: the body of its answer is left out later. */
  readonly method: string;
  /** As it was sent, percent signs and all; without dots that climb. */
  readonly path: string;
  readonly query: URLSearchParams;
  /**
   * The fields of a form that was sent along (POST, `application/x-www-form-urlencoded`, or a JSON object of texts under `/api/`).
   * It came from this server's own pages, or from a program that holds the token: the rest was refused before.
   */
  readonly form?: URLSearchParams;
  /**
   * What each form of a page must send back, in a hidden field called `csrf` (a script: in the header `X-CSRF-Token`). Reading it makes
   * the answer set a cookie where there is none yet. It differs from request to request; all that were given to one browser hold.
   */
  readonly csrf: string;
  /** Somebody signed in by the form: a page offers POST `/sign-out`. */
  readonly signedIn: boolean;
  /** Who asks, for the log of actions: `anybody` where nobody needs to be known, `token`, `session 3fa9c1`. */
  readonly by: string;
  /** The address that asks. */
  readonly from: string;
  /** Request headers that an answer may depend on; empty when not sent. */
  readonly accept: string;
  readonly lastEventId: string;
}

/** Answers a request, or says undefined for what it does not serve. */
export type Route = (asked: Asked) => Promise<Answer | undefined>;

/** The page that asks for the token. */
export interface SignInForm {
  /** For the hidden field `csrf`. */
  readonly csrf: string;
  /** Where to go afterwards: for the hidden field `next`. */
  readonly next: string;
  /** What was wrong with the last try; null the first time. */
  readonly wrong: string | null;
}

export const PROBLEM_TYPE = 'application/problem+json';

/** Shows a problem to a person at a browser. */
export type RefusedPage = (refused: { readonly status: number; readonly sentence: string }) => string;

/** An error as problem details (RFC 9457). `headers` are those that its status calls for. */
export function problem(status: number, detail: string, headers: Readonly<Record<string, string>> = {}): Answer {
  const body = { type: 'about:blank', title: TITLES[status] ?? 'Error', status, detail };
  return { status, body, type: PROBLEM_TYPE, headers };
}

/** 405: this is here, but not for this method (RFC 9110, section 15.5.6). */
export function notAllowed(...methods: readonly string[]): Answer {
  const all = methods.includes('GET') ? ['GET', 'HEAD', ...methods.filter((method) => method !== 'GET')] : methods;
  const words =
    methods.length === 1 && methods[0] === 'GET' ? 'This can only be read.' : `This takes ${all.join(', ')}.`;
  return problem(405, words, { Allow: all.join(', ') });
}

/** Sends the browser to another page of this server after a form (RFC 9110, section 15.4.4). */
export function seeOther(path: string): Answer {
  return { status: 303, body: '', headers: { Location: path } };
}

const TITLES: Readonly<Record<number, string>> = {
  400: 'Bad Request',
  401: 'Unauthorized',
  403: 'Forbidden',
  404: 'Not Found',
  405: 'Method Not Allowed',
  408: 'Request Timeout',
  409: 'Conflict',
  413: 'Content Too Large',
  415: 'Unsupported Media Type',
  417: 'Expectation Failed',
  429: 'Too Many Requests',
  431: 'Request Header Fields Too Large',
  500: 'Internal Server Error',
  503: 'Service Unavailable',
};
