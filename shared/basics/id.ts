/** Row ids: UUIDv7 text (RFC 9562 §5.7), sortable by time. Time and randomness are arguments, so that this stays pure. */
export function uuidV7(nowMs: number, random: Uint8Array): string {
	const bytes = new Uint8Array(16);
	bytes.set(random.subarray(0, 10), 6);
	for (let index = 0, rest = Math.floor(nowMs); index < 6; index++, rest = Math.floor(rest / 256)) {
		bytes[5 - index] = rest % 256;
	}
	bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
	bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
	const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
	return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
