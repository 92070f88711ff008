//! `trimsheet bundle`: a design goes out whole, without what is private, or not at all.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests write files and drive processes"
)]

use std::collections::BTreeMap;
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const SPEC: &str = "model linnet: stage bench
    rules \"elm-hill\"
    relies-on \"band plan of our country\" 2026-02-01
    elm-hill.hangar \"the third door\"
include \"shelf/club.trim\" as club
instrument scale: resolution 1 g
part receiver: kind receiver; mass 5 g [weighed on scale]; at 40 mm aft
part board like club.board: mass 9 g [weighed on scale]; at 10 mm aft [estimated by RT]
join data: signal receiver -> board; photo \"photos/data.jpg\" 2026-02-20
join spare: signal receiver -> board; photo \"shelf/spare.png\" 2026-02-20
saved board 2026-02-21 by MT: copy \"settings/board.txt\"
";
const SHELF: &str = "part board: kind flight-controller
";
const PACK: &str = "name = \"elm-hill\"\nissue = \"2026\"\ntitle = \"Elm Hill\"\nlicence = \"MIT\"\nneeds = \"0.1\"\nlayer = \"club\"

[[fact]]
word = \"hangar\"
of = [\"model\"]
form = \"\\\"TEXT\\\"\"
says = \"Where it is kept.\"
example = \"elm-hill.hangar \\\"hall 2\\\"\"
private = true
";

/// A segment of a JPEG.
fn segment(mark: u8, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
    [&[0xFF, mark], &length[..], content].concat()
}

/// An invented JPEG with these segments before its frame.
fn jpeg(segments: &[Vec<u8>]) -> Vec<u8> {
    [
        vec![0xFF, 0xD8],
        segments.concat(),
        segment(0xC0, &[8, 0, 8, 0, 8, 1, 1, 0x11, 0]),
        segment(0xDA, &[1, 1, 0, 0, 63, 0]),
        vec![1, 2, 0xFF, 0, 3, 0xFF, 0xD9],
    ]
    .concat()
}

/// What a camera writes of where it was.
fn exif() -> Vec<u8> {
    segment(0xE1, b"Exif\0\0II*\0\x08\0\0\0\0\0 51 north")
}

/// A PNG of one black dot, with a remark.
fn png() -> Vec<u8> {
    let dot: &[u8] =
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55";
    let pixels: &[u8] = b"\0\0\0\nIDAT\x78\x9c\x63\x60\0\0\0\x02\0\x01\x48\xaf\xa4\x71";
    let end: &[u8] = b"\0\0\0\0IEND\xae\x42\x60\x82";
    [dot, pixels, end].concat()
}

/// A folder of its own for one test, with a design in it.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bundle").join(name);
    let _ = fs::remove_dir_all(&folder);
    design(&folder);
    folder
}

fn design(folder: &Path) {
    for inside in ["shelf", "photos", "settings", "rules/elm-hill"] {
        fs::create_dir_all(folder.join(inside)).unwrap();
    }
    let put = |name: &str, bytes: &[u8]| fs::write(folder.join(name), bytes).unwrap();
    put("linnet.trim", SPEC.as_bytes());
    put("shelf/club.trim", SHELF.as_bytes());
    put("shelf/spare.png", &png());
    put("photos/data.jpg", &jpeg(&[exif()]));
    put("settings/board.txt", b"secret");
    put("rules/elm-hill/pack.toml", PACK.as_bytes());
}

fn command(folder: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trimsheet"));
    command.args(words).current_dir(folder).env("COLUMNS", "200");
    command.env("TRIMSHEET_RULES", folder.join("own"));
    command
}

fn trimsheet(folder: &Path, words: &[&str]) -> Output {
    command(folder, words).output().unwrap()
}

/// Bundles the design into this, on a day.
fn into(target: &str) -> Vec<&str> {
    vec!["bundle", "linnet.trim", "--date", "2026-03-14", "--into", target]
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[track_caller]
fn written(folder: &Path, words: &[&str]) -> String {
    let output = trimsheet(folder, words);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// That nothing is written, and why.
#[track_caller]
fn refused(folder: &Path, words: &[&str], says: &[&str]) {
    let before = all(folder);
    let output = trimsheet(folder, words);
    let said = text(&output.stderr);
    for says in says {
        assert!(said.contains(says), "{says}: {said}");
    }
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(text(&output.stdout).is_empty());
    assert!(all(folder) == before, "something was written");
}

/// Every file of a folder, by its path.
fn all(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(at) = open.pop() {
        for entry in fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_str().unwrap();
                files.insert(name.to_owned(), fs::read(&path).unwrap_or_default());
            }
        }
    }
    files
}

fn unzipped(path: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut zip = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    let mut files = BTreeMap::new();
    for index in 0..zip.len() {
        let mut file = zip.by_index(index).unwrap();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        let name = file.enclosed_name().unwrap();
        files.insert(name.to_str().unwrap().to_owned(), bytes);
    }
    files
}

#[test]
fn a_bundle_holds_the_design_without_what_is_private_and_reads_like_it() {
    let folder = folder("whole");
    let before = all(&folder);
    let said = written(&folder, &into("out"));
    let files = all(&folder.join("out"));
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        [
            "README.txt",
            "balance.txt",
            "bill.csv",
            "cards.html",
            "linnet.trim",
            "photos/data.jpg",
            "rules/elm-hill/pack.toml",
            "shelf/club.trim",
            "shelf/spare.png",
            "wiring.svg",
            "wiring.txt",
        ]
    );
    let lines: Vec<&str> = SPEC.lines().collect();
    let copy = text(&files["linnet.trim"]);
    let copied: Vec<&str> = copy.lines().collect();
    assert_eq!(copied[..2], lines[..2]);
    assert_eq!(copied[2..4], ["", ""]);
    assert_eq!(copied[4..], lines[4..]);
    assert_eq!(files["photos/data.jpg"], jpeg(&[]));
    for says in [
        "linnet.trim:3: `relies-on` of model linnet, private",
        "linnet.trim:4: `elm-hill.hangar` of model linnet, private",
        "settings/board.txt: settings that were saved may hold what is private",
        "people under the names that records give them: MT, RT",
        "the pack elm-hill 2026",
        "2 photographs: place, time and camera are taken out of the files",
    ] {
        assert!(said.contains(says), "{says}: {said}");
    }
    let page = text(&files["README.txt"]);
    assert!(page.contains("Bundled on 2026-03-14 by trimsheet 0.1.0"), "{page}");
    assert!(page.contains("follow your local rules"), "{page}");
    for (name, bytes) in &files {
        for secret in ["third door", "band plan", "51 north", "secret"] {
            let holds = bytes.windows(secret.len()).any(|at| at == secret.as_bytes());
            assert!(!holds, "{secret} in {name}");
        }
    }
    let check = ["check", "linnet.trim", "--date", "2026-03-14", "--fail-at", "stop"];
    assert_eq!(trimsheet(&folder.join("out"), &check).status.code(), Some(0));
    let mut after = all(&folder);
    after.retain(|name, _| !name.starts_with("out/"));
    assert!(after == before, "an original was touched");
}

#[test]
fn a_zip_holds_the_same_and_is_the_same_wherever_it_is_made() {
    let (one, other) = (folder("zip-one"), folder("zip-other"));
    written(&one, &into("out"));
    written(&one, &into("out.zip"));
    let zip = fs::read(one.join("out.zip")).unwrap();
    assert!(unzipped(&one.join("out.zip")) == all(&one.join("out")));
    written(&other, &into("other.ZIP"));
    assert!(fs::read(other.join("other.ZIP")).unwrap() == zip);
    let spec = one.join("linnet.trim");
    let from = ["bundle", spec.to_str().unwrap(), "--date", "2026-03-14"];
    written(&other, &[&from[..], &["--into", "far.zip"]].concat());
    assert!(fs::read(other.join("far.zip")).unwrap() == zip);
}

#[test]
fn what_looks_private_goes_and_what_stays_in_a_head_is_named() {
    let folder = folder("texts");
    let spec =
        SPEC.replace("kind receiver;", "kind receiver; note \"call 0151-2345678\";");
    let by = "by MT until 2026-05-01";
    let waiver =
        format!("set mass/estimate-heavy installed 9 % because \"x@y.example\" {by}");
    let field = "field meadow: permission \"the farmer\"; connects pits; observer SB";
    let spec = format!("# write to rt@club.example\n{spec}{waiver}\n{field}\n");
    fs::write(folder.join("linnet.trim"), spec.replace("stage bench", "stage bench # a"))
        .unwrap();
    let shelf = format!("{SHELF}    note \"+00 151 / 234 567\"; count 2\n");
    fs::write(folder.join("shelf/club.trim"), shelf).unwrap();
    let said = written(&folder, &into("out"));
    assert!(said.contains("linnet.trim:8: `note` of part receiver, private"), "{said}");
    assert!(said.contains("linnet.trim:13: this looks as though it holds"), "{said}");
    assert!(said.contains("records give them: MT, RT, SB"), "{said}");
    let copy = fs::read_to_string(folder.join("out/linnet.trim")).unwrap();
    assert!(copy.starts_with("\nmodel linnet: stage bench # a\n"), "{copy}");
    assert!(
        said.contains("linnet.trim:1: a remark that seems to hold an address of mail")
    );
    assert!(copy.contains("part receiver: kind receiver; mass 5 g"), "{copy}");
    let shelf = fs::read_to_string(folder.join("out/shelf/club.trim")).unwrap();
    assert_eq!(shelf, format!("{SHELF}    count 2\n"));
    assert!(copy.contains("field meadow: connects pits; observer SB"), "{copy}");
}

#[test]
fn the_reference_that_it_follows_goes_along_without_what_is_private() {
    let folder = folder("reference");
    let spec =
        SPEC.replace("stage bench\n", "stage bench\n    follows \"plan/base.trim\"\n");
    fs::write(folder.join("linnet.trim"), spec).unwrap();
    fs::create_dir(folder.join("plan")).unwrap();
    let base = "model base: relies-on \"law\"; stage planned\n";
    fs::write(folder.join("plan/base.trim"), base).unwrap();
    written(&folder, &into("out"));
    let copy = fs::read_to_string(folder.join("out/plan/base.trim")).unwrap();
    assert_eq!(copy, "model base: stage planned\n");
    fs::write(folder.join("plan/base.trim"), "model base\n    oops @@\n").unwrap();
    refused(&folder, &into("no"), &["no bundle is made before all of the spec reads"]);
}

#[test]
fn findings_that_come_with_the_copy_are_said() {
    let folder = folder("compared");
    let spec = SPEC.replace("kind receiver", "kind receiver; sends 868 MHz power 9 dBm");
    fs::write(folder.join("linnet.trim"), spec).unwrap();
    let said = written(&folder, &into("out"));
    assert!(said.contains("the copy has these findings that yours has not"), "{said}");
    assert!(said.contains("[radio/permission-not-stated]"), "{said}");
}

#[test]
fn each_photograph_that_cannot_go_is_named_with_its_line_and_nothing_is_written() {
    let folder = folder("photos");
    fs::remove_file(folder.join("photos/data.jpg")).unwrap();
    fs::write(folder.join("shelf/spare.png"), "a list of parts").unwrap();
    let why = [
        "linnet.trim:9: the photograph \"photos/data.jpg\" is not there",
        "linnet.trim:10: the photograph \"shelf/spare.png\" cannot be cleaned",
        "it is neither a JPEG nor a PNG nor a WebP picture",
        "nothing was written; --without-photos leaves photographs out",
    ];
    refused(&folder, &into("out"), &why);
    refused(&folder, &into("out.zip"), &why);
    let whole = jpeg(&[exif()]);
    fs::write(folder.join("photos/data.jpg"), &whole[..whole.len() - 1]).unwrap();
    refused(&folder, &into("out"), &["data.jpg\" cannot be cleaned", "it breaks off"]);
    let words = [&into("out")[..], &["--without-photos"]].concat();
    written(&folder, &words);
    assert!(!folder.join("out/photos").exists());
}

#[test]
fn a_photograph_that_would_leave_the_bundle_is_refused_at_its_line() {
    let folder = folder("paths");
    for (path, says) in [
        ("/tmp/x.jpg", "begins at the top of the disk"),
        ("../x.jpg", "goes up a folder with .."),
        ("photos/../../x.jpg", "goes up a folder with .."),
        ("C:/x.jpg", "begins with the letter of a drive"),
        ("photos/what?.jpg", "holds `?`"),
        ("photos/nul.jpg", "is a device on some systems"),
    ] {
        let spec = SPEC.replace("photos/data.jpg", path);
        fs::write(folder.join("linnet.trim"), spec).unwrap();
        let line = format!("linnet.trim:9: the photograph \"{path}\" cannot go into");
        refused(&folder, &into("out.zip"), &[&line, says]);
    }
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_of_the_folder_is_not_followed() {
    let folder = folder("link");
    let outside = folder.with_file_name("outside.jpg");
    fs::write(&outside, jpeg(&[])).unwrap();
    fs::remove_file(folder.join("photos/data.jpg")).unwrap();
    std::os::unix::fs::symlink(&outside, folder.join("photos/data.jpg")).unwrap();
    refused(&folder, &into("out"), &["linnet.trim:9:", "leads out of the folder"]);
}

#[test]
fn names_that_differ_in_capitals_alone_or_are_those_of_papers_are_refused() {
    let folder = folder("names");
    fs::create_dir_all(folder.join("Photos")).unwrap();
    fs::write(folder.join("Photos/Data.jpg"), jpeg(&[])).unwrap();
    let more = format!("{SPEC}join more: photo \"Photos/Data.jpg\"\n");
    fs::write(folder.join("linnet.trim"), more).unwrap();
    refused(&folder, &into("out"), &["one name where capitals do not count"]);
    fs::write(folder.join("readme.TXT"), SHELF).unwrap();
    let more = format!("{SPEC}include \"readme.TXT\" as more\n");
    fs::write(folder.join("linnet.trim"), more).unwrap();
    refused(&folder, &into("out"), &["readme.TXT has the name of the paper README.txt"]);
}

#[test]
fn nothing_that_is_there_is_written_over() {
    let folder = folder("taken");
    fs::write(folder.join("out.zip"), "mine").unwrap();
    fs::create_dir(folder.join("out")).unwrap();
    for target in ["out", "out/", "out.zip", ".", "linnet.trim"] {
        refused(&folder, &into(target), &["is there already and was left as it is"]);
    }
    let far = into("nowhere/deep/out.zip");
    refused(&folder, &far, &["the folder that it is to stand in is not there"]);
    refused(&folder, &into(""), &["expected a folder to make or a zip to write"]);
    refused(&folder, &into("no/such/out"), &["cannot write no/such/out: "]);
}

#[test]
fn a_spec_that_does_not_read_is_not_given_away() {
    let folder = folder("damaged");
    for damage in ["relies-onn @@ \"law\"", "include \"no.trim\"", "rules \"nowhere\""] {
        let is_entry = damage.starts_with("include");
        let line = format!("{}{damage}\n", if is_entry { "" } else { "    " });
        let spec = SPEC.replacen("include", &format!("{line}include"), 1);
        fs::write(folder.join("linnet.trim"), spec).unwrap();
        refused(
            &folder,
            &into("out"),
            &["no bundle is made before all of the spec reads"],
        );
    }
    let words = ["bundle", "linnet.txt", "--into", "out"];
    refused(&folder, &words, &["expected a spec, NAME.trim"]);
    let words = ["bundle", "wren.trim", "--into", "out"];
    refused(&folder, &words, &["cannot read the spec: there is no such file"]);
}

#[test]
fn a_pack_of_ones_own_goes_along() {
    let folder = folder("own");
    fs::create_dir(folder.join("own")).unwrap();
    fs::rename(folder.join("rules/elm-hill"), folder.join("own/elm-hill")).unwrap();
    written(&folder, &into("out"));
    assert!(folder.join("out/rules/elm-hill/pack.toml").exists());
}

#[test]
fn a_proof_goes_along_where_it_is_wanted_without_records_that_rest_on_what_is_private() {
    let folder = folder("proof");
    let sign = |day: &str| {
        let words = ["signoff", "linnet.trim", "failsafe", "--by", "KV", "--date", day];
        let seen = "seen motor-stopped surfaces-preset control-back";
        let readings = ["propeller off", "transmitter off", seen];
        let readings = readings.iter().flat_map(|reading| ["--reading", reading]);
        let words: Vec<&str> = words.into_iter().chain(readings).collect();
        written(&folder, &words);
    };
    sign("2026-03-12");
    let kept = fs::read_to_string(folder.join("linnet.proof")).unwrap();
    let rests = "rests r1 \"model linnet: relies-on\" was \"band plan of our country\"\n";
    let gone = format!("done range 2026-03-13 by KV; signed r1\n{rests}seal r1 \"a\"\n");
    fs::write(folder.join("linnet.proof"), format!("{kept}{gone}")).unwrap();
    let said = written(&folder, &into("out"));
    assert!(!folder.join("out/linnet.proof").exists());
    assert!(said.contains("linnet.proof: what was signed is of the aircraft"), "{said}");
    let said = written(&folder, &[&into("with")[..], &["--with-proof"]].concat());
    assert!(said.contains("1 signed record resting on what is private"), "{said}");
    let copy = fs::read_to_string(folder.join("with/linnet.proof")).unwrap();
    assert_eq!(copy, format!("{kept}\n\n\n"));
    let check = ["check", "linnet.trim", "--date", "2026-03-14", "--fail-at", "stop"];
    let checked = text(&trimsheet(&folder.join("with"), &check).stdout);
    assert!(checked.contains("1 step proved"), "{checked}");
}

#[test]
fn killed_at_any_moment_a_bundle_is_whole_or_not_there() {
    let folder = folder("killed");
    for target in ["out", "out.zip"] {
        written(&folder, &into(&format!("whole-{target}")));
        let read = |name: &str| match target {
            "out" => all(&folder.join(name)),
            _ => BTreeMap::from([(String::new(), fs::read(folder.join(name)).unwrap())]),
        };
        let whole = read(&format!("whole-{target}"));
        let mut seen = 0;
        for round in 0..40_u64 {
            let name = format!("{round}-{target}");
            let mut child = command(&folder, &into(&name))
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(Duration::from_micros(round * 2_477 % 100_000));
            let _ = child.kill();
            child.wait().unwrap();
            if folder.join(&name).exists() {
                assert!(read(&name) == whole, "round {round}");
                seen += 1;
            }
        }
        assert!(seen < 40, "every round came to its end");
    }
}

/// The same with no room on the disk: the system refuses to write.
#[cfg(unix)]
#[test]
fn with_no_room_on_the_disk_nothing_is_left() {
    let folder = folder("full");
    let before = all(&folder);
    for target in ["out", "out.zip"] {
        let limit = "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\"";
        let program = env!("CARGO_BIN_EXE_trimsheet");
        let mut sh = Command::new("sh");
        sh.args(["-c", limit, program]).args(into(target)).current_dir(&folder);
        let output = sh.output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        let said = text(&output.stderr);
        assert!(said.contains(&format!("cannot write {target}: ")), "{said}");
        assert!(all(&folder) == before);
        let names = fs::read_dir(&folder).unwrap();
        let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        assert!(!names.into_iter().any(|name| name.starts_with("out")));
    }
}

/// Somebody who may not write there; whoever may do all becomes somebody else first.
#[cfg(unix)]
#[test]
fn in_a_folder_that_is_read_only_the_reason_is_said() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    use std::os::unix::process::CommandExt as _;

    let name = format!("trimsheet-bundle-{}", std::process::id());
    let folder = std::env::temp_dir().join(name);
    let _ = fs::remove_dir_all(&folder);
    design(&folder);
    let program = folder.join("trimsheet");
    fs::copy(env!("CARGO_BIN_EXE_trimsheet"), &program).unwrap();
    let owner = fs::metadata(&folder).unwrap().uid();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    let before = all(&folder);
    let mut said = Vec::new();
    for target in ["out", "out.zip"] {
        let mut command = Command::new(&program);
        command.args(into(target)).current_dir(&folder);
        if owner == 0 {
            command.uid(65_534);
        }
        let output = command.output().unwrap();
        said.push((target, output.status.code(), text(&output.stderr)));
    }
    let after = all(&folder);
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
    fs::remove_dir_all(&folder).unwrap();
    assert!(after == before);
    for (target, code, said) in said {
        let why = format!("cannot write {target}: Permission denied");
        assert!(said.contains(&why), "{said}");
        assert_eq!(code, Some(2));
    }
}
