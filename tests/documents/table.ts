import { existsSync, readFileSync } from 'node:fs';
import type { ExitCode } from '../../src/model/problem.js';
import { ROOT } from './read.js';

/** A documented command of outfeed, run against the made-up office. */
export interface Played {
  /** What contract section 1 calls this outcome: 0 nothing wrong found, 1 a fault found. */
  readonly exit: ExitCode;
  /** Where the document shortens or leaves a choice: what is run. */
  readonly as?: readonly string[];
  /** Run before. */
  readonly first?: readonly string[];
  /** It ends when it is told to, after it has said this. */
  readonly until?: RegExp;
}

const CHART_ROOM_IS_EMPTY = 1;

export const PLAYED: Readonly<Record<string, Played>> = {
  'outfeed sweep': { exit: 0 },
  'outfeed sweep 192.0.2.0/24 198.51.100.10-40': { exit: 0 },
  'outfeed sweep --pace gentle': { exit: 0 },
  'outfeed sweep --listen 0': { exit: 0 },
  'outfeed sweep --json > monday.json': { exit: 0 },
  'outfeed sweep --since monday.json': { exit: 0 },
  'outfeed show 192.0.2.21': { exit: 0 },
  'outfeed show 192.0.2.21 --record odd.yaml': { exit: 0 },
  'outfeed show TARGET --record FILE': { exit: 0, as: ['outfeed show TARGET --record recorded.yaml'] },
  'outfeed show TARGET --record shared/office/NAME.yaml': { exit: 0 },
  'outfeed show TARGET --identify': { exit: 0 },
  'outfeed why 192.0.2.21': { exit: 0 },
  'outfeed why 192.0.2.21 --queue ipp://192.0.2.5/printers/front-desk': { exit: 0 },
  'outfeed why ipp://192.0.2.5/printers/front-desk': { exit: 0 },
  'outfeed why 192.0.2.21 --save front-desk.json': { exit: 0 },
  'outfeed why --from front-desk.json': { exit: 0 },
  'outfeed why chart-room': { exit: CHART_ROOM_IS_EMPTY },
  'outfeed queue 192.0.2.21 --queue ipp://192.0.2.5/printers/front-desk': { exit: 0 },
  'outfeed queue --queue-report report.json': { exit: 1 },
  // The made-up spooler takes no changes and says so; Debian's takes them in tests/peers/queue-crash.test.ts.
  'outfeed queue … --apply hold': {
    exit: 1,
    as: ['outfeed queue ipp://192.0.2.5/printers/dispatch --apply hold --job 311 --yes 311'],
  },
  'outfeed snapshot --out site': { exit: 0 },
  'outfeed snapshot --redact --zip': { exit: 0 },
  'outfeed snapshot --redact': { exit: 0 },
  'outfeed snapshot --config annex.yaml --out annex-monday': { exit: 0 },
  'outfeed compare site later.zip': {
    exit: CHART_ROOM_IS_EMPTY,
    first: ['outfeed snapshot --out later.zip --zip'],
  },
  'outfeed compare --html FILE': {
    exit: CHART_ROOM_IS_EMPTY,
    as: ['outfeed compare site later.zip --html changes.html'],
  },
  'outfeed compare annex-monday annex-friday': {
    exit: CHART_ROOM_IS_EMPTY,
    first: ['outfeed snapshot --config annex.yaml --out annex-friday'],
  },
  'outfeed supplies': { exit: 0 },
  'outfeed supplies --config annex.yaml': { exit: 0 },
  'outfeed defect --symptom streak': { exit: 1 },
  'outfeed defect --symptom partial-page --page a4,600,4,1 --memory 16MB': { exit: 1 },
  'outfeed defect --page … --memory …': {
    exit: 1,
    as: ['outfeed defect --symptom partial-page --page a4,600,4,1 --memory 16MB'],
  },
  'outfeed defect --symptom repeating-marks --marks 20,114.2,208.4 --model config/models/NAME.yaml': { exit: 1 },
  'outfeed testpage 192.0.2.21 --via raw --print': { exit: 0 },
  'outfeed testpage … --print': { exit: 0, as: ['outfeed testpage 192.0.2.21 --via raw --print'] },
  'outfeed testpage TARGET --via ROUTE --came-out yes': { exit: 0 },
  'outfeed completion bash > ~/.local/share/bash-completion/completions/outfeed': { exit: 0 },
  'outfeed completion bash': { exit: 0 },
  'outfeed completion bash|zsh|fish': {
    exit: 0,
    as: ['outfeed completion bash', 'outfeed completion zsh', 'outfeed completion fish'],
  },
  'outfeed --version': { exit: 0 },
  'outfeed check-config': { exit: 0 },
  'outfeed check-config FILE': { exit: 0 },
  'outfeed check-config /etc/outfeed/outfeed.yaml': { exit: 0 },
  'outfeed check-config C:\\ProgramData\\outfeed\\outfeed.yaml': { exit: 0 },
  'outfeed agent': { exit: 0, until: /"printer":"chart-room","silent":true/ },
  'outfeed agent --config FILE': { exit: 0, until: /the page is served/ },
  '{node} {program} agent --config /etc/outfeed/outfeed.yaml 2>> /var/log/outfeed/agent.log': {
    exit: 0,
    as: ['outfeed agent --config /etc/outfeed/outfeed.yaml'],
    until: /the page is served/,
  },
  'outfeed agent --once': { exit: 0 },
  '*/5 * * * * outfeed agent --once --quiet --config /etc/outfeed/outfeed.yaml': {
    exit: 0,
    as: ['outfeed agent --once --quiet --config /etc/outfeed/outfeed.yaml'],
  },
  '*/5 * * * * {node} {program} agent --once --quiet --config /etc/outfeed/outfeed.yaml': {
    exit: 0,
    as: ['outfeed agent --once --quiet --config /etc/outfeed/outfeed.yaml'],
  },
  'outfeed agent --install-help': { exit: 0 },
  'outfeed agent --plan 2026-02-01T18:00/2026-02-01T20:00': { exit: 0 },
  'outfeed agent --acknowledge ID --note "What helped"': { exit: 0 },
  'outfeed agent --acknowledge ID': { exit: 0 },
  'outfeed agent --new-token keys/page': { exit: 0 },
};

/** Asked of the agent of the made-up office over HTTP: path → status. */
export const ASKED: Readonly<Record<string, string>> = {
  'curl http://127.0.0.1:6310/readyz': '/readyz',
  'curl --fail http://127.0.0.1:6310/readyz': '/readyz',
  'curl --fail http://127.0.0.1:6310/healthz': '/healthz',
};

/** Run as they stand, by a shell, with `/etc`, `/var` and the home folder below a folder of the test: tests/documents/service.test.ts. */
export const IN_A_SHELL: readonly string[] = [
  'mkdir -p ~/.local/share/bash-completion/completions',
  'chmod 700 keys',
  'chmod 600 keys/*',
  'sudo install -d /etc/outfeed',
  'sudo cp outfeed.yaml /etc/outfeed/',
  'sudo install -d -m 750 -g outfeed /etc/outfeed/keys',
  'sudo outfeed agent --new-token /etc/outfeed/keys/page',
  'sudo chgrp outfeed /etc/outfeed/keys/page',
  'sudo chmod 640 /etc/outfeed/keys/page',
  'sudo cp config/service/outfeed-agent.service /etc/systemd/system/',
  'sudo cp {config}service/outfeed-agent.service /etc/systemd/system/',
  'sudo cp config/service/outfeed-once.service config/service/outfeed-once.timer /etc/systemd/system/',
  'sudo cp {config}service/outfeed-once.service {config}service/outfeed-once.timer /etc/systemd/system/',
  'sudo cp config/service/outfeed-logrotate /etc/logrotate.d/outfeed',
  'sudo install -d -m 700 /var/backups/outfeed',
  'sudo cp -a /var/lib/outfeed/. /var/backups/outfeed/',
  "sudo find /var/lib/outfeed/ -name 'outfeed.db*' -delete",
  'sudo cp -a /var/backups/outfeed/. /var/lib/outfeed/',
  'sudo rm -f /etc/systemd/system/outfeed-agent.service',
  'sudo rm -rf /etc/outfeed /var/lib/outfeed /var/lib/private/outfeed',
];

/** Run with programs of Debian where they are there. */
export const BY_PEERS: Readonly<Record<string, string>> = {
  'systemd-analyze security --offline=true config/service/outfeed-agent.service': 'tests/documents/service.test.ts',
  'sudo -u postgres psql': 'tests/documents/many-sites.test.ts',
  'sudo -u postgres psql annex': 'tests/documents/many-sites.test.ts',
  'pg_dump --format=custom --file=annex.dump annex': 'tests/documents/many-sites.test.ts',
  'pg_restore --clean --create --dbname=postgres annex.dump': 'tests/documents/many-sites.test.ts',
  'promtool check metrics': 'tests/daemon/metrics.test.ts',
};

/** Not run here: why, and what of it holds all the same. */
export interface NotRun {
  readonly because: string;
  readonly holds: () => boolean;
}

const manifest = JSON.parse(readFileSync(`${ROOT}package.json`, 'utf8')) as {
  readonly version: string;
  readonly scripts: Readonly<Record<string, string>>;
};
const unit = (name: string): string => readFileSync(`${ROOT}config/service/${name}`, 'utf8');

const whole = (because: string, ...files: readonly string[]): NotRun => ({
  because,
  holds: () => files.every((file) => existsSync(`${ROOT}${file}`)),
});
const script = (name: string, because: string): NotRun => ({ because, holds: () => name in manifest.scripts });
const tests = (...folders: readonly string[]): NotRun =>
  whole('is a part of this run', ...folders.map((folder) => `tests/${folder}`));
const systemd = (name: string, says: RegExp): NotRun => ({
  because: 'changes services of the machine',
  holds: () => says.test(unit(name)),
});
const MEASURES = 'measures for minutes; not a test';
const INSTALLS = 'installs from the registry; .ci/run does it before the tests';
const AGENT = 'outfeed-agent.service';
const TASK = whole('is Windows', 'config/service/outfeed-agent.xml');
const PACKAGE: NotRun = {
  because: 'installs for the whole machine; .ci/run installs the package into an empty folder',
  holds: () => manifest.version === '0.1.0',
};

export const NOT_RUN: Readonly<Record<string, NotRun>> = {
  'npm ci': whole(INSTALLS, 'package-lock.json'),
  'npm install -g': whole(INSTALLS, 'shared/man/outfeed.1'),
  'npm test': script('test', 'is this run'),
  'npm run demo': script('demo', 'tests/demo/tour.test.ts and .ci/run run it'),
  'npm run build': script('build', 'tests/package runs it'),
  'npm run check': script('check', '.ci/run runs it'),
  'npm run generate': script('generate', 'writes into the sources; tests compare what it made'),
  'npm run bench -- NAME': script('bench', MEASURES),
  'npm run bench -- sweep': script('bench', MEASURES),
  'npm run bench -- start': script('bench', MEASURES),
  'npm run lab': script('lab', 'takes minutes; tests/peers/lab.test.ts runs its scenarios'),
  'npm run lab -- --only NAME': script('lab', 'tests/peers/lab.test.ts runs every scenario'),
  'npm run lab -- fuzz': script('lab', 'runs for an hour; tests/fuzz runs a part'),
  'npm audit': whole('needs a registry that answers it', 'package-lock.json'),
  'npx tsx tests/lab/agent.ts MINUTES SEED': whole(MEASURES, 'tests/lab/agent.ts'),
  'npx tsx tests/lab/soak.ts PRINTERS DAYS MINUTES': whole(MEASURES, 'tests/lab/soak.ts'),
  'KILLS=300 npx vitest run tests/daemon/crash.test.ts': whole(MEASURES, 'tests/daemon/crash.test.ts'),
  'npx vitest run tests/ladder tests/house tests/snapshot': tests('ladder', 'house', 'snapshot'),
  'npx vitest run tests/ladder tests/schemas': tests('ladder', 'schemas'),
  'npx vitest run tests/probes tests/house': tests('probes', 'house'),
  'npx vitest run tests/demo': tests('demo'),
  'npx vitest run tests/documents': tests('documents'),
  'npx vitest run tests/commands tests/config tests/schemas': tests('commands', 'config', 'schemas'),
  'sudo npm install -g ./outfeed-0.1.0.tgz': PACKAGE,
  'sudo npm uninstall -g outfeed': PACKAGE,
  'sudo useradd --system --user-group --no-create-home --shell /usr/sbin/nologin outfeed': systemd(
    AGENT,
    /^User=outfeed$/m,
  ),
  'sudo userdel outfeed': systemd(AGENT, /^User=outfeed$/m),
  'sudo systemctl daemon-reload': systemd(AGENT, /^\[Unit\]$/m),
  'sudo systemctl enable --now outfeed-agent': systemd(AGENT, /^WantedBy=multi-user\.target$/m),
  'sudo systemctl disable --now outfeed-agent': systemd(AGENT, /^WantedBy=multi-user\.target$/m),
  'sudo systemctl enable --now outfeed-once.timer': systemd('outfeed-once.timer', /^WantedBy=timers\.target$/m),
  'sudo systemctl reload outfeed-agent': systemd(AGENT, /^ExecReload=\/bin\/kill -HUP \$MAINPID$/m),
  'sudo systemctl kill --kill-whom=main --signal=USR2 outfeed-agent': systemd(
    AGENT,
    /^ExecStart=\/usr\/bin\/env outfeed/m,
  ),
  'sudo systemctl start outfeed-agent': systemd(AGENT, /^Type=notify$/m),
  'sudo systemctl stop outfeed-agent': systemd(AGENT, /^TimeoutStopSec=/m),
  'sudo systemctl restart outfeed-agent': systemd(AGENT, /^Type=notify$/m),
  'sudo systemctl edit outfeed-agent': systemd(AGENT, /^\[Service\]$/m),
  'systemctl status outfeed-agent': systemd(AGENT, /^Description=/m),
  'journalctl -u outfeed-agent': systemd(AGENT, /^Description=/m),
  'schtasks /Create /TN outfeed-agent /XML outfeed-agent.xml': TASK,
  'schtasks /Run /TN outfeed-agent': TASK,
  'schtasks /End /TN outfeed-agent': TASK,
  'schtasks /Delete /TN outfeed-agent /F': TASK,
  '{node} {program}': {
    because: 'is a part of the line ExecStart, which systemd judges in tests/peers/systemd.test.ts',
    holds: () => /^ExecStart=/m.test(unit(AGENT)),
  },
};
