//! The page to read in a pack.

use record::shown::one_line;

use super::asked::{PackAsked, Packed};

/// What it is, how it is checked, and what it does not show.
pub(super) fn page(asked: &PackAsked, packed: &Packed, shop: &str) -> String {
    let (period, now) = (asked.period, asked.now);
    let mut said = format!(
        "Audit pack of {shop}: what was worked on from {period}.\n\
         Made {now} by samepoint {version}. {what}.\n\
         \n\
         sessions/      each session file as it lies in the shop, byte for byte\n\
         reports/       its report, which carries the same file within it\n\
         pictures/      the pictures that sessions and papers show, each named by its SHA-256\n\
         seals/         each seal of a session (.sig) with the line it is over (.msg)\n\
         ledger/        the shop’s ledger files, whole: which lines were signed and answered\n\
         calibrations/  how the maps of its stations were found, whole\n\
         checks/        how its stations read their check standards, whole\n\
         hands/         the shop’s hands as they lie there; allowed_signers and revoked_keys hold their keys\n\
         list.csv       one line a session: its files with their SHA-256, and what it says\n\
         left-out.csv   what is not in here, and why\n\
         SHA256SUMS     the SHA-256 of every other file in here\n\
         \n\
         To see that nothing was changed since, type in this folder:\n\
         \n    sha256sum -c SHA256SUMS\n\
         \n\
         To see that a seal is of a hand’s key, with OpenSSH’s own program:\n\
         \n    ssh-keygen -Y verify -f hands/allowed_signers -r hands/revoked_keys -I INITIALS -n samepoint \
         -s seals/SESSION/X.sig < seals/SESSION/X.msg\n\
         \n\
         The sums tell a change of a file, not who made the pack: whoever changes a file can make the sums anew. Keep \
         the SHA-256 of SHA256SUMS where nobody who holds the pack can write, or sign it.\n\
         A session is in here where it was begun, read, signed or answered in the period; all of its facts are, \
         those before and after it, too. Days are as the files claim them.\n",
        shop = one_line(shop),
        version = env!("CARGO_PKG_VERSION"),
        what = packed.words()
    );
    if !packed.left_out.is_empty() {
        said.push_str("\nLeft out:\n");
        for [what, _, why] in &packed.left_out {
            said.push_str(&format!("- {}: {}\n", one_line(what), one_line(why)));
        }
    }
    said
}
