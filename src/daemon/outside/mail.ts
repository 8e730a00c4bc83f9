import nodemailer from 'nodemailer';
import { type MailedEvent, mailOf } from '../mail-text.js';
import { type Message, Refused, type Send } from '../teller.js';

export interface MailSetting {
  /** `smtp://host:port` or `smtps://…`, without user and password. */
  readonly smtp: string;
  readonly user?: string;
  readonly password?: string;
  readonly from: string;
  readonly to: readonly string[];
  readonly site: string;
  readonly clock: (at: string) => string;
  /** What the store knows of earlier times. */
  readonly before: (message: Message) => Promise<readonly MailedEvent[]>;
}

const PATIENCE_MS = 20_000;

/** Sends events as one mail, text and HTML. A repeat has the same Message-ID (RFC 5322 section 3.6.4). */
export function mail(setting: MailSetting): Send {
  const { smtp, user, password, from, to } = setting;
  const transport = nodemailer.createTransport({
    url: smtp,
    ...(user === undefined ? {} : { auth: { user, pass: password ?? '' } }),
    connectionTimeout: PATIENCE_MS,
    greetingTimeout: PATIENCE_MS,
    socketTimeout: PATIENCE_MS,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
  return async (message) => {
    const words = mailOf(setting.site, await setting.before(message), setting.clock);
    try {
      await transport.sendMail({
        from,
        to: [...to],
        ...words,
        messageId: `<${message.key}@outfeed.invalid>`,
        date: new Date(message.events[0]?.at ?? 0),
        headers: { 'Auto-Submitted': 'auto-generated', 'Idempotency-Key': message.key },
      });
    } catch (error) {
      throw explained(error);
    }
  };
}

/** A reply of class 5 to the content or the recipients stays the same (RFC 5321 section 4.2.1); signing in may be mended. */
function explained(error: unknown): Error {
  const {
    responseCode,
    command = '',
    code = '',
    message = '',
  } = error as {
    responseCode?: number;
    command?: string;
    code?: string;
    message?: string;
  };
  const words = `the mail server did not take it: ${responseCode ?? code} ${message}`.slice(0, 300);
  const forGood = (responseCode ?? 0) >= 500 && !/^AUTH/i.test(command) && code !== 'EAUTH';
  return forGood ? new Refused(words) : new Error(words);
}
