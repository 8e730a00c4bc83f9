import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Log } from '../../world.js';
import { acts, pathOf } from './gate.js';

/**
 * One line for each action and what came of it: who, from where, what, the status. Never what a form held. Signing in is an action; one
 * that was refused for being one of too many is not worth a line of its own.
 */
export function actionLog(log: Log, by: (request: FastifyRequest) => string) {
  return async (request: FastifyRequest, reply: FastifyReply): Promise<void> => {
    const { statusCode: status } = reply;
    const path = pathOf(request);
    const plain = status === 429 && path !== '/sign-in';
    if ((!acts(request) && !gaveWrongToken(request, status)) || plain) return;
    const action = `${request.method} ${path.slice(0, MOST_PATH)}`;
    const fields = { action, by: by(request), from: request.ip, status };
    if (status >= 400) log.warn(fields, 'somebody tried to act');
    else log.info(fields, 'somebody acted');
  };
}

const MOST_PATH = 200;

function gaveWrongToken(request: FastifyRequest, status: number): boolean {
  return status === 401 && request.headers.authorization !== undefined;
}
