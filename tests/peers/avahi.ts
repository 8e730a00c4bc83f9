import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Bridge, firstLine } from './namespace-bridge.js';
import { findProgram } from './peer.js';

/** A private bus: no other process of the machine is on it. */
const BUS = `<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>system</type><listen>unix:path=SOCKET</listen><auth>EXTERNAL</auth>
<policy context="default"><allow user="*"/><allow own="*"/><allow send_type="method_call"/><allow send_requested_reply="true" send_type="method_return"/><allow send_requested_reply="true" send_type="error"/><allow receive_type="method_call"/><allow receive_type="method_return"/><allow receive_type="error"/><allow receive_type="signal"/><allow send_type="signal"/></policy></busconfig>`;

export const AVAHI_NEEDS = ['namespaces', 'ip', 'dbus-daemon', 'avahi-daemon', 'avahi-publish', 'unshare', 'sh'];

export interface Avahi {
  /** Announces a service: name, type, port, keys. */
  publish(...args: readonly string[]): void;
  /** Environment in which other programs reach the same daemon. */
  readonly env: Readonly<Record<string, string>>;
}

/** The system's DNS-SD daemon in a namespace, with a bus of its own. Files go into `folder`; it ends with the bridge. */
export async function startAvahi(
  bridge: Bridge,
  host: string,
  folder: string,
  hostName: string,
  families: '4' | '6' | 'both' = '4',
): Promise<Avahi> {
  mkdirSync(folder, { recursive: true });
  const socket = join(folder, 'bus');
  writeFileSync(join(folder, 'bus.conf'), BUS.replace('SOCKET', socket));
  const yes = (family: string): string => (families === family || families === 'both' ? 'yes' : 'no');
  writeFileSync(
    join(folder, 'avahi.conf'),
    `[server]\nhost-name=${hostName}\nuse-ipv4=${yes('4')}\nuse-ipv6=${yes('6')}\nallow-interfaces=eth0\n[publish]\npublish-hinfo=no\npublish-aaaa-on-ipv4=no\npublish-a-on-ipv6=no\npublish-workstation=no\n`,
  );
  const env = { DBUS_SYSTEM_BUS_ADDRESS: `unix:path=${socket}` };
  const bus = bridge.start(host, program('dbus-daemon'), [
    `--config-file=${join(folder, 'bus.conf')}`,
    '--nofork',
    '--nopidfile',
    '--print-address',
  ]);
  await firstLine(bus);
  // Its run folder is fixed: in a mount namespace of its own it gets an empty one, and no other daemon is in the way.
  const daemon = `mkdir -p /run/avahi-daemon && mount -t tmpfs none /run/avahi-daemon && exec ${program('avahi-daemon')} --no-drop-root --no-chroot --no-rlimits -f ${join(folder, 'avahi.conf')} 2>&1`;
  await saying(bridge.start(host, program('unshare'), ['-m', 'sh', '-c', daemon], env).stdout, 'startup complete');
  return {
    env,
    publish: (...args) => {
      bridge.start(host, program('avahi-publish'), ['-s', ...args], env);
    },
  };
}

function program(name: string): string {
  return findProgram(name) ?? name;
}

function saying(stream: NodeJS.ReadableStream | null, words: string): Promise<void> {
  return new Promise((resolve, reject) => {
    let heard = '';
    stream?.on('data', (chunk) => {
      heard += String(chunk);
      if (heard.includes(words)) resolve();
    });
    stream?.on('end', () => reject(new Error(`it ended before it said "${words}": ${heard}`)));
  });
}
