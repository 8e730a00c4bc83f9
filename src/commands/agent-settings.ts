import type { Config, SecretRef, TellSetting } from '../config/config.js';
import { readSecret } from '../config/load.js';
import type { Settings } from '../daemon/agent.js';
import { wallClock } from '../daemon/hours.js';
import { groupOf } from '../daemon/newcomers.js';
import { command } from '../daemon/outside/command.js';
import { mail } from '../daemon/outside/mail.js';
import { webhook } from '../daemon/outside/webhook.js';
import { addressing, tellersOf } from '../daemon/tell-whom.js';
import type { Send } from '../daemon/teller.js';
import { timesBefore } from '../daemon/times-before.js';
import type { Watched } from '../daemon/watch.js';
import { calendarOf } from '../forecast/calendar.js';
import type { Store } from '../store/store.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { configuredTargets } from './target.js';

/** Printers that are read at the same time. */
const AT_ONCE = 40;

/** What the agent goes by, made of the configuration. Throws ProgramProblem for a secret that is not there. */
export async function agentSettings(
  config: Config,
  options: CommonOptions,
  io: Pick<Io, 'cwd' | 'env'>,
  store: Store,
): Promise<Settings> {
  const clock = wallClock(config.site.timezone);
  const site = config.site.name ?? 'site';
  const tellers = tellersOf(config.tell);
  return {
    rules: {
      site,
      pace: { everyMs: config.read.everyMs, inFaultMs: config.read.inFaultMs },
      clock,
      officeHours: config.site.officeHours,
      addressed: addressing(tellers, clock),
      atOnce: AT_ONCE,
    },
    printers: watchedPrinters(config, options),
    tellers: await Promise.all(
      tellers.map(async (setting) => ({ setting, send: await senderOf(setting, config, io, store) })),
    ),
    sweepEveryMs: config.sweep.everyMs,
    keepMs: config.store.keepMs,
  };
}

function watchedPrinters(config: Config, options: CommonOptions): readonly Watched[] {
  return configuredTargets(config, options).map((target) => ({
    name: target.label,
    target,
    group: target.switch === undefined ? groupOf(target.host) : `switch ${target.switch.address}`,
    configured: true,
  }));
}

async function senderOf({ to }: TellSetting, config: Config, io: Pick<Io, 'cwd' | 'env'>, store: Store): Promise<Send> {
  const folder = config.folder ?? io.cwd;
  const secret = async (ref: SecretRef | undefined, what: string): Promise<string | undefined> =>
    ref === undefined ? undefined : readSecret(ref, what, folder, io.env);
  if (to.kind === 'webhook') return webhook(to.url, await secret(to.secret, 'the secret of a webhook'));
  if (to.kind === 'command') return command(to.run, to.args, config.folder ?? undefined);
  const user = await secret(to.user, 'the user of the mail server');
  const password = await secret(to.password, 'the password of the mail server');
  return mail({
    smtp: to.smtp,
    from: to.from,
    to: to.to,
    site: config.site.name ?? 'site',
    clock: spokenTime(config.site.timezone),
    before: timesBefore(store, (at) => calendarOf(config.site.timezone ?? ownZone()).dateOf(Date.parse(at))),
    ...(user === undefined ? {} : { user }),
    ...(password === undefined ? {} : { password }),
  });
}

/** Of this machine. */
function ownZone(): string {
  return new Intl.DateTimeFormat().resolvedOptions().timeZone;
}

function spokenTime(timezone: string | undefined): (at: string) => string {
  const format = new Intl.DateTimeFormat('en-GB', {
    dateStyle: 'medium',
    timeStyle: 'short',
    ...(timezone === undefined ? {} : { timeZone: timezone }),
  });
  return (at) => format.format(new Date(at));
}
