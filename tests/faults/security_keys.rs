//! Seals by security keys, which are touched for each, and by keys of kinds that are not checked.
//!
//! No security key is at hand here: what one would answer is made by hand from an ordinary private key, by
//! OpenSSH's own descriptions, and the real `ssh-keygen` is asked whether it takes it for one.
//!
//! Sources: OpenSSH, PROTOCOL.u2f (public keys, "signature encoding": what is signed are
//! SHA256(application), a byte of flags, a counter of four bytes big-endian, SHA256(message)) and
//! PROTOCOL.sshsig (the blob, and the data that is signed as the message). Both from memory; the real
//! program's agreement is the check on that memory.

use std::fs;

use record::seal::{NAMESPACE, check_seal, checks_seals_of};
use record::{Hands, SealState, Shop};
use sha2::{Digest as _, Sha256, Sha512};
use ssh_key::PrivateKey;
use ssh_key::private::KeypairData;

use crate::hands::{SUPERVISOR, TECHNICIAN, list, shop};
use crate::seals::{Keys, ssh_keygen, with_key};

const MESSAGE: &str = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";
const APPLICATION: &str = "ssh:samepoint";

/// A string as OpenSSH writes it: its length in four bytes, then itself (RFC 4251, 5).
fn string(bytes: &[u8]) -> Vec<u8> {
    [&u32::try_from(bytes.len()).unwrap().to_be_bytes()[..], bytes].concat()
}

/// Base64 (RFC 4648, 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let all =
            three.iter().chain(&[0; 2]).take(3).fold(0_u32, |all, &b| all << 8 | u32::from(b));
        for place in 0..4 {
            let letter = LETTERS[(all >> (18 - 6 * place) & 63) as usize] as char;
            out.push(if place <= three.len() { letter } else { '=' });
        }
    }
    out
}

/// Makes a key that `ssh-key` reads. It refuses a private key of fewer bytes than its curve has, which is
/// one in 256 of this curve: another is made then. Public keys and signatures it reads whatever their bytes are.
fn make_readable(keys: &Keys, name: &str, kind: &[&str]) {
    let path = keys.0.path().join(name);
    for _ in 0..8 {
        keys.make(name, kind);
        if PrivateKey::from_openssh(fs::read(&path).unwrap()).is_ok() {
            return;
        }
        fs::remove_file(&path).unwrap();
    }
    panic!("ssh-key read none of eight keys of the kind {kind:?}");
}

/// What stands in for a security key.
struct Invented {
    kind: &'static str,
    private: PrivateKey,
    /// The public key as OpenSSH writes it.
    public: Vec<u8>,
}

impl Invented {
    /// From an ordinary key of the same curve, made by `ssh-keygen`.
    fn new(keys: &Keys, ordinary: &str) -> Self {
        let path = keys.0.path().join(ordinary);
        let private = PrivateKey::from_openssh(fs::read(path).unwrap()).unwrap();
        let (kind, parts): (_, Vec<Vec<u8>>) = match private.key_data() {
            KeypairData::Ed25519(pair) => {
                ("sk-ssh-ed25519@openssh.com", vec![pair.public.0.to_vec()])
            }
            KeypairData::Ecdsa(pair) => (
                "sk-ecdsa-sha2-nistp256@openssh.com",
                vec![b"nistp256".to_vec(), pair.public_key_bytes().to_vec()],
            ),
            other => panic!("{other:?}"),
        };
        let parts = std::iter::once(kind.as_bytes().to_vec())
            .chain(parts)
            .chain([APPLICATION.as_bytes().to_vec()]);
        let public = parts.flat_map(|part| string(&part)).collect();
        Self { kind, private, public }
    }

    fn line(&self) -> String {
        format!("{} {} touched", self.kind, base64(&self.public))
    }

    /// Its seal over a message: for an application, with flags and a counter; what it writes into the seal
    /// may be others.
    fn seal(&self, message: &str, signed: (&str, u8, u32), written: (u8, u32)) -> String {
        let digest = Sha512::digest(message.as_bytes());
        let parts: [&[u8]; 4] = [NAMESPACE.as_bytes(), b"", b"sha512", &digest];
        let data = [b"SSHSIG".to_vec(), parts.map(string).concat()].concat();
        let (application, flags, counter) = signed;
        let said = [
            Sha256::digest(application.as_bytes()).to_vec(),
            vec![flags],
            counter.to_be_bytes().to_vec(),
            Sha256::digest(&data).to_vec(),
        ];
        let said = said.concat();
        let raw = plain_signature(&self.private, &said);
        let (flags, counter) = written;
        let signature = [
            string(self.kind.as_bytes()),
            string(&raw),
            vec![flags],
            counter.to_be_bytes().to_vec(),
        ];
        let parts: [&[u8]; 5] =
            [&self.public, NAMESPACE.as_bytes(), b"", b"sha512", &signature.concat()];
        let blob = [b"SSHSIG".to_vec(), vec![0, 0, 0, 1], parts.map(string).concat()].concat();
        let text = base64(&blob);
        let lines: Vec<&str> =
            text.as_bytes().chunks(70).map(|line| std::str::from_utf8(line).unwrap()).collect();
        format!(
            "-----BEGIN SSH SIGNATURE-----\n{}\n-----END SSH SIGNATURE-----\n",
            lines.join("\n")
        )
    }
}

/// A plain signature's own bytes.
fn plain_signature(key: &impl ssh_key::SigningKey, data: &[u8]) -> Vec<u8> {
    key.try_sign(data).unwrap().as_bytes().to_vec()
}

fn state(seal: &str, message: &str, hands: &Hands) -> SealState {
    check_seal(seal, message, "RV", "2026-11-25".parse().unwrap(), hands)
}

#[test]
fn security_keys_are_checked_as_openssh_checks_them() {
    let keys = Keys::new();
    make_readable(&keys, "flat", &["ed25519"]);
    make_readable(&keys, "nist", &["ecdsa", "-b", "256"]);
    for ordinary in ["flat", "nist"] {
        let key = Invented::new(&keys, ordinary);
        assert!(checks_seals_of(&key.line()));
        let shop = shop(&[("RV", &with_key(TECHNICIAN, &key.line())), ("SH", SUPERVISOR)]);
        let loaded = Shop::load(shop.path()).unwrap();
        assert!(loaded.skipped.is_empty(), "{:?}", loaded.skipped);
        let hands = loaded.hands;
        let usual = (APPLICATION, 1, 7);
        let good = key.seal(MESSAGE, usual, (1, 7));
        let SealState::Good { key: name } = state(&good, MESSAGE, &hands) else {
            panic!("{ordinary}: {:?}", state(&good, MESSAGE, &hands))
        };

        // The real program takes it for a security key's signature, by the list that is written out.
        let folder = keys.0.path();
        fs::write(folder.join("allowed_signers"), record::seal::allowed_signers(&hands)).unwrap();
        fs::write(folder.join("key.pub"), key.line()).unwrap();
        let (_, listed, _) = ssh_keygen(folder, &["-l", "-f", "key.pub"], b"");
        let listed = String::from_utf8(listed).unwrap();
        assert!(listed.contains(&name) && listed.contains("-SK)"), "{listed}");
        let verified = |seal: &str, message: &str| {
            fs::write(folder.join("sig"), seal).unwrap();
            let arguments =
                ["-Y", "verify", "-f", "allowed_signers", "-I", "RV", "-n", NAMESPACE, "-s", "sig"];
            ssh_keygen(folder, &arguments, message.as_bytes()).0
        };
        assert!(verified(&good, MESSAGE), "{ordinary}");

        // Another message, counter, flags, application: both refuse.
        let other_message = MESSAGE.replace('0', "1");
        assert_eq!(state(&good, &other_message, &hands), SealState::OtherLine);
        assert!(!verified(&good, &other_message));
        for (signed, written) in [
            (usual, (1, 8)),
            (usual, (5, 7)),
            ((APPLICATION, 0, 7), (1, 7)),
            (("ssh:", 1, 7), (1, 7)),
        ] {
            let seal = key.seal(MESSAGE, signed, written);
            assert_eq!(
                state(&seal, MESSAGE, &hands),
                SealState::OtherLine,
                "{signed:?} {written:?}"
            );
            assert!(!verified(&seal, MESSAGE), "{signed:?} {written:?}");
        }

        // Made without a touch it holds and does not count: a program can have it made unseen. With a PIN
        // typed besides (bit 2) it counts.
        let unseen = key.seal(MESSAGE, (APPLICATION, 0, 7), (0, 7));
        assert_eq!(state(&unseen, MESSAGE, &hands), SealState::Untouched { key: name.clone() });
        assert!(state(&unseen, MESSAGE, &hands).to_string().contains("which nobody touched"));
        assert!(state(&key.seal(MESSAGE, (APPLICATION, 5, 7), (5, 7)), MESSAGE, &hands).is_good());

        // The ordinary key inside it is another key.
        let plain = keys.sign(ordinary, MESSAGE);
        assert!(matches!(state(&plain, MESSAGE, &hands), SealState::KeyOfNobody { .. }));
    }
}

#[test]
fn a_kind_of_key_that_is_not_checked_is_said_and_counts_for_nothing() {
    let keys = Keys::new();
    let line = keys.make("large", &["ecdsa", "-b", "521"]);
    let seal = keys.sign("large", MESSAGE);
    let shop = shop(&[("RV", TECHNICIAN)]);
    list(shop.path(), "RV", &with_key(TECHNICIAN, &line));
    let loaded = Shop::load(shop.path()).unwrap();
    assert!(loaded.skipped.is_empty(), "{:?}", loaded.skipped);
    assert!(!checks_seals_of(&line));
    let state = state(&seal, MESSAGE, &loaded.hands);
    assert_eq!(state.word(), "kind of key not checked");
    assert!(!state.is_good());
    // Never "made over another line", which it was not; and what can check it.
    let words = state.to_string();
    assert!(
        words.contains("ecdsa-sha2-nistp521") && words.contains("ssh-keygen -Y verify"),
        "{words}"
    );
}
