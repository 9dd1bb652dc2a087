//! The desktop's own print dialog, where the desktop offers one: the Print
//! portal of the XDG desktop portal specification, version 3
//! (<https://flatpak.github.io/xdg-desktop-portal/docs/>).
//!
//! A call gives no answer itself. The answer comes later, as a signal from a
//! request object whose name follows from the caller's; it is listened for
//! before the call, so that a quick answer is not missed.

use super::output::Printout;
use crate::sheet::Paper;
use futures_lite::StreamExt;
use std::collections::HashMap;
use std::io::{Seek, Write};
use std::sync::atomic::{AtomicU32, Ordering};
use zbus::zvariant::{DynamicType, Fd, OwnedValue, Value};
use zbus::{Connection, Proxy};

const DESKTOP: &str = "org.freedesktop.portal.Desktop";
const OBJECT: &str = "/org/freedesktop/portal/desktop";
const PRINT: &str = "org.freedesktop.portal.Print";
const REQUEST: &str = "org.freedesktop.portal.Request";

/// What a person did with the dialog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PortalAnswer {
    /// The pages went to the printer that was chosen.
    Sent,
    /// The dialog was closed without printing.
    Cancelled,
}

/// Why no page went to a printer.
#[derive(Debug, thiserror::Error)]
pub(super) enum NoPrint {
    /// The desktop has no such dialog; there may be another way to print.
    #[error("the desktop offers no print dialog")]
    NoDialog(#[source] zbus::Error),
    /// The dialog took the order and then gave up.
    #[error("the desktop's print service gave up")]
    GaveUp,
    /// The pages could not be handed over.
    #[error("the pages could not be handed to the print service: {0}")]
    Hand(#[from] std::io::Error),
}

/// Shows the dialog and sends the pages to the printer that is chosen in it.
/// It asks for the paper the pages were made for and for 100 %, never fitted:
/// the drawings are read with a rule.
///
/// # Errors
/// Where the desktop has no dialog or its print service gives up.
pub(super) async fn print(bus: &Connection, job: &Printout) -> Result<PortalAnswer, NoPrint> {
    let token = token();
    let paper = job.paper;
    // The names of IPP (PWG 5101.1) that the portal asks for.
    let format = match paper {
        Paper::A4 => "iso_a4",
        Paper::Letter => "na_letter",
    };
    let settings: Vardict<'_> = HashMap::from([
        ("paper-format", Value::from(format)),
        ("scale", Value::from("100")),
        ("orientation", Value::from("portrait")),
    ]);
    let setup: Vardict<'_> = HashMap::from([
        ("Name", Value::from(format)),
        ("DisplayName", Value::from(paper.name())),
        ("Width", Value::from(paper.width())),
        ("Height", Value::from(paper.height())),
        ("Orientation", Value::from("portrait")),
    ]);
    let options: Vardict<'_> =
        HashMap::from([("handle_token", Value::from(token.as_str())), ("modal", Value::from(true))]);
    let body = ("", job.title.as_str(), settings, setup, options);
    let (code, results) = ask(bus, "PreparePrint", &token, &body).await.map_err(NoPrint::NoDialog)?;
    let answer = of_code(code)?;
    if answer == PortalAnswer::Cancelled {
        return Ok(answer);
    }
    let chosen: u32 =
        results.get("token").and_then(|value| value.downcast_ref().ok()).ok_or(NoPrint::GaveUp)?;

    let mut file = tempfile::tempfile()?;
    file.write_all(&job.pdf)?;
    file.rewind()?;
    let token = self::token();
    let options: Vardict<'_> =
        HashMap::from([("handle_token", Value::from(token.as_str())), ("token", Value::from(chosen))]);
    let body = ("", job.title.as_str(), Fd::from(&file), options);
    let (code, _) = ask(bus, "Print", &token, &body).await.map_err(|_| NoPrint::GaveUp)?;
    of_code(code)
}

type Vardict<'a> = HashMap<&'static str, Value<'a>>;

/// The codes of a request's response: the specification's 0, 1 and 2.
const CODE_SUCCESS: u32 = 0;
const CODE_CANCELLED: u32 = 1;

fn of_code(code: u32) -> Result<PortalAnswer, NoPrint> {
    match code {
        CODE_SUCCESS => Ok(PortalAnswer::Sent),
        CODE_CANCELLED => Ok(PortalAnswer::Cancelled),
        _ => Err(NoPrint::GaveUp),
    }
}

/// A name that no other request of this program has.
fn token() -> String {
    static NEXT: AtomicU32 = AtomicU32::new(1);
    format!("crowndeck{}", NEXT.fetch_add(1, Ordering::Relaxed))
}

/// Calls a method of the portal and waits for the answer of its request.
async fn ask<B>(
    bus: &Connection,
    method: &str,
    token: &str,
    body: &B,
) -> zbus::Result<(u32, HashMap<String, OwnedValue>)>
where
    B: serde::Serialize + DynamicType + Sync,
{
    let caller = bus.unique_name().ok_or(zbus::Error::InterfaceNotFound)?;
    let caller = caller.trim_start_matches(':').replace('.', "_");
    let path = format!("{OBJECT}/request/{caller}/{token}");
    let request = Proxy::new(bus, DESKTOP, path, REQUEST).await?;
    let mut answers = request.receive_signal("Response").await?;
    Proxy::new(bus, DESKTOP, OBJECT, PRINT).await?.call_method(method, body).await?;
    let answer = answers.next().await.ok_or(zbus::Error::InvalidReply)?;
    answer.body().deserialize()
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use std::io::{BufRead, BufReader, Read};
    use std::process::{Child, Command, Stdio};
    use std::sync::{Arc, Mutex};
    use zbus::message::Header;
    use zbus::zvariant::{OwnedFd, OwnedObjectPath};

    /// A message bus of the test's own, ended with the test.
    pub(crate) struct Bus(Child, String);

    impl Bus {
        pub(crate) fn start() -> Self {
            let mut child = Command::new("dbus-daemon")
                .args(["--session", "--nofork", "--nopidfile", "--print-address=1"])
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            let mut address = String::new();
            BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut address).unwrap();
            Self(child, address.trim().to_owned())
        }

        pub(crate) async fn connect(&self) -> Connection {
            zbus::connection::Builder::address(self.1.as_str()).unwrap().build().await.unwrap()
        }
    }

    impl Drop for Bus {
        fn drop(&mut self) {
            drop(self.0.kill());
            drop(self.0.wait());
        }
    }

    /// A desktop that answers as it is told and keeps what it was handed.
    #[derive(Clone, Default)]
    struct Desktop {
        codes: (u32, u32),
        paper: Arc<Mutex<String>>,
        printed: Arc<Mutex<Vec<u8>>>,
    }

    impl Desktop {
        async fn answer(
            bus: &Connection,
            header: &Header<'_>,
            options: &HashMap<String, OwnedValue>,
            code: u32,
        ) -> OwnedObjectPath {
            let token: String = options["handle_token"].downcast_ref().unwrap();
            let sender = header.sender().unwrap();
            let caller = sender.trim_start_matches(':').replace('.', "_");
            let path = format!("{OBJECT}/request/{caller}/{token}");
            let results = HashMap::from([("token", Value::from(77_u32))]);
            bus.emit_signal(Some(sender.to_owned()), path.as_str(), REQUEST, "Response", &(code, results))
                .await
                .unwrap();
            OwnedObjectPath::try_from(path).unwrap()
        }
    }

    #[expect(clippy::too_many_arguments, reason = "the signature is the specification's")]
    #[zbus::interface(name = "org.freedesktop.portal.Print")]
    impl Desktop {
        async fn prepare_print(
            &self,
            #[zbus(header)] header: Header<'_>,
            #[zbus(connection)] bus: &Connection,
            _parent: String,
            _title: String,
            settings: HashMap<String, OwnedValue>,
            _setup: HashMap<String, OwnedValue>,
            options: HashMap<String, OwnedValue>,
        ) -> OwnedObjectPath {
            let text = |key: &str| -> String { settings[key].downcast_ref().unwrap() };
            *self.paper.lock().unwrap() = format!("{} at {} %", text("paper-format"), text("scale"));
            Self::answer(bus, &header, &options, self.codes.0).await
        }

        async fn print(
            &self,
            #[zbus(header)] header: Header<'_>,
            #[zbus(connection)] bus: &Connection,
            _parent: String,
            _title: String,
            file: OwnedFd,
            options: HashMap<String, OwnedValue>,
        ) -> OwnedObjectPath {
            let token: u32 = options["token"].downcast_ref().unwrap();
            assert_eq!(token, 77);
            let mut file = std::fs::File::from(std::os::fd::OwnedFd::from(file));
            file.read_to_end(&mut self.printed.lock().unwrap()).unwrap();
            Self::answer(bus, &header, &options, self.codes.1).await
        }
    }

    fn job() -> Printout {
        Printout { title: "A binder".to_owned(), paper: Paper::Letter, pdf: b"%PDF-1.7 pages".to_vec() }
    }

    async fn asked(codes: (u32, u32)) -> (Result<PortalAnswer, NoPrint>, Desktop) {
        let bus = Bus::start();
        let desktop = Desktop { codes, ..Desktop::default() };
        let service = bus.connect().await;
        service.object_server().at(OBJECT, desktop.clone()).await.unwrap();
        service.request_name(DESKTOP).await.unwrap();
        (print(&bus.connect().await, &job()).await, desktop)
    }

    #[test]
    fn the_pages_reach_the_printer_on_their_paper_and_never_fitted() {
        let (answer, desktop) = pollster::block_on(asked((0, 0)));
        assert_eq!(answer.unwrap(), PortalAnswer::Sent);
        assert_eq!(*desktop.printed.lock().unwrap(), job().pdf);
        assert_eq!(*desktop.paper.lock().unwrap(), "na_letter at 100 %");
    }

    #[test]
    fn a_dialog_that_is_closed_prints_nothing() {
        let (answer, desktop) = pollster::block_on(asked((1, 0)));
        assert_eq!(answer.unwrap(), PortalAnswer::Cancelled);
        assert!(desktop.printed.lock().unwrap().is_empty());
    }

    #[test]
    fn a_print_service_that_gives_up_is_told() {
        let (answer, _) = pollster::block_on(asked((0, 2)));
        assert!(matches!(answer, Err(NoPrint::GaveUp)));
    }

    #[test]
    fn a_desktop_without_the_dialog_is_told_apart() {
        let answer = pollster::block_on(async {
            let bus = Bus::start();
            print(&bus.connect().await, &job()).await
        });
        assert!(matches!(answer, Err(NoPrint::NoDialog(_))));
    }
}
