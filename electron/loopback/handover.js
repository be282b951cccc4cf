/* Swaps the launch token of the address for this window's session, then opens the page itself. */
const say = document.getElementById('say');
const launch = /^#launch=([\w-]+)$/.exec(location.hash)?.[1];
history.replaceState(null, '', '/');

async function open() {
	const answer = await fetch('/session', {
		method: 'POST',
		headers: { 'content-type': 'application/json' },
		body: JSON.stringify({ launch }),
	});
	if (answer.status === 429) {
		say.textContent = 'One moment …';
		setTimeout(attempt, 1000 * Number(answer.headers.get('retry-after') ?? 1));
		return;
	}
	if (!answer.ok) throw new Error('the address is used up');
	const { key } = await answer.json();
	sessionStorage.setItem('fillmark-token', key);
	location.replace('/');
}

function attempt() {
	open().catch(() => {
		say.textContent =
			'This address works once and for one minute only. Start Fillmark again, or press Enter where it was started, for a new one.';
	});
}

if (launch) attempt();
else say.textContent = 'Start Fillmark to open the books: this page shows them only in a window it opened itself.';
