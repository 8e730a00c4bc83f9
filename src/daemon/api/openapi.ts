import { jsonSchemas } from '../../config/json-schemas.js';
import { notAllowed, type Route } from '../outside/http/answer.js';

interface Operation {
  readonly path: string;
  readonly method: 'get' | 'post';
  readonly summary: string;
  /** Name of the document that is answered, or a media type that has no schema. */
  readonly answers?: string;
  readonly status?: string;
  readonly takes?: readonly Parameter[];
  /** The form takes these fields. */
  readonly form?: readonly string[];
  readonly errors?: readonly number[];
}
interface Parameter {
  readonly name: string;
  readonly what: string;
  readonly type?: 'integer' | 'boolean';
}

const PAGED: readonly Parameter[] = [
  { name: 'limit', what: 'At most so many, 1 to 1000; the header Link leads to the next.', type: 'integer' },
  { name: 'cursor', what: 'Where to go on, from the header Link of the part before.' },
];
const NOT_READ = [404, 503];

const OPERATIONS: readonly Operation[] = [
  {
    path: '/printers',
    method: 'get',
    summary: 'Every printer, and how it is',
    answers: 'printers',
    takes: PAGED,
    errors: [400],
  },
  {
    path: '/printers/{name}',
    method: 'get',
    summary: 'What one printer says of itself',
    answers: 'printer',
    errors: NOT_READ,
  },
  {
    path: '/printers/{name}/why',
    method: 'get',
    summary: 'Why it gives no output, as of the last look',
    answers: 'why',
    errors: NOT_READ,
  },
  { path: '/printers/{name}/why', method: 'post', summary: 'Looks at it now', answers: 'why', errors: [403, 404] },
  {
    path: '/supplies',
    method: 'get',
    summary: 'What runs out when, and what to order',
    answers: 'supplies',
    errors: [503],
  },
  { path: '/queues', method: 'get', summary: 'The print queues and what blocks them', answers: 'queue', errors: [503] },
  {
    path: '/incidents',
    method: 'get',
    summary: 'What went wrong, newest first, and how reliable each printer was (on the first part)',
    answers: 'incidents',
    takes: [
      ...PAGED,
      { name: 'open', what: 'Only those that are not over.', type: 'boolean' },
      { name: 'printer', what: 'Only those that struck this printer.' },
    ],
    errors: [400, 503],
  },
  {
    path: '/incidents/{id}/acknowledge',
    method: 'post',
    summary: 'Notes that somebody has seen an incident, and what helped',
    status: '204',
    form: ['note'],
    errors: [403, 404, 503],
  },
  {
    path: '/sweep',
    method: 'post',
    summary: 'Looks for printers now, where the configuration says',
    status: '202',
    errors: [403],
  },
  {
    path: '/snapshot',
    method: 'get',
    summary: 'The state of the site as an archive',
    answers: 'application/zip',
    errors: [404, 503],
  },
  {
    path: '/events',
    method: 'get',
    summary: 'Events as they come (server-sent events)',
    answers: 'text/event-stream',
    errors: [503],
  },
];

/** The API as an OpenAPI 3.1 document, whose schemas are those that the documents are checked by. */
export function openApi(version: string) {
  const paths: Record<string, Record<string, unknown>> = {};
  for (const operation of OPERATIONS) {
    const path = `/api/v1${operation.path}`;
    paths[path] = { ...paths[path], [operation.method]: described(operation) };
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'outfeed',
      version,
      description: 'The printers of a site, why they are silent, and what to do next.',
    },
    servers: [{ url: '/' }],
    paths,
    components: {
      schemas: { ...documents(), problem: PROBLEM },
      responses: {
        problem: {
          description: 'What went wrong (RFC 9457)',
          content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/problem' } } },
        },
      },
      securitySchemes: { token: { type: 'http', scheme: 'bearer' }, password: { type: 'http', scheme: 'basic' } },
    },
    security: [{ token: [] }, { password: [] }, {}],
  };
}

const PROBLEM = {
  type: 'object',
  required: ['type', 'title', 'status', 'detail'],
  properties: {
    type: { type: 'string', format: 'uri-reference' },
    title: { type: 'string' },
    status: { type: 'integer', minimum: 400, maximum: 599 },
    detail: { type: 'string' },
  },
};

/** The published schemas, what they define beside themselves under names of their own: `why.Evidence`. */
function documents(): Record<string, unknown> {
  const used = new Set(OPERATIONS.map(({ answers }) => answers));
  return Object.fromEntries(
    Object.entries(jsonSchemas())
      .map(([file, text]) => [file.replace(/-1\.json$/, ''), text] as const)
      .filter(([name]) => used.has(name))
      .flatMap(([name, text]) => {
        const moved = text.replaceAll('"$ref": "#/$defs/', `"$ref": "#/components/schemas/${name}.`);
        const { $schema, $id, $defs = {}, ...schema } = JSON.parse(moved) as Record<string, object>;
        return [[name, schema], ...Object.entries($defs).map(([part, value]) => [`${name}.${part}`, value])];
      }),
  );
}

function described({ path, method, summary, answers, status = '200', takes = [], form, errors = [] }: Operation) {
  const named = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }));
  const asked = takes.map(({ name, what, type = 'string' }) => ({
    name,
    in: 'query',
    description: what,
    schema: { type },
  }));
  const words = path
    .replaceAll(/[{}]/g, '')
    .split('/')
    .filter((word) => word !== '');
  const refused = Object.fromEntries(
    [401, 429, ...errors].map((code) => [String(code), { $ref: '#/components/responses/problem' }]),
  );
  return {
    operationId: [method, ...words].join('-'),
    summary,
    parameters: [...named, ...asked],
    ...(form === undefined ? {} : { requestBody: bodyOf(form) }),
    responses: { [status]: { description: summary, ...contentOf(answers) }, ...refused },
  };
}

function contentOf(answers: string | undefined) {
  if (answers === undefined) return {};
  if (answers.includes('/')) return { content: { [answers]: {} } };
  return { content: { 'application/json': { schema: { $ref: `#/components/schemas/${answers}` } } } };
}

function bodyOf(fields: readonly string[]) {
  const schema = { type: 'object', properties: Object.fromEntries(fields.map((name) => [name, { type: 'string' }])) };
  return {
    required: false,
    content: { 'application/x-www-form-urlencoded': { schema }, 'application/json': { schema } },
  };
}

/** `/api/v1/openapi.json`. */
export function openApiRoute(version: string): Route {
  let made: ReturnType<typeof openApi> | undefined;
  return async ({ path, method }) => {
    if (path !== '/api/v1/openapi.json') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    made ??= openApi(version);
    return { status: 200, body: made };
  };
}
