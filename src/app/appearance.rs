//! What a person told their system about how programs should look: dark or
//! light, more contrast, less movement. The window follows it wherever they
//! did not choose otherwise in the window itself.

use std::sync::{Arc, Mutex, PoisonError};

/// How the system asks programs to look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SystemAppearance {
    /// Dark or light; none where the system does not say.
    pub dark: Option<bool>,
    /// More contrast.
    pub contrast: bool,
    /// Less movement.
    pub still: bool,
}

/// The appearance that the system asks for now.
#[derive(Clone, Debug, Default)]
pub struct AppearanceWatcher(Arc<Mutex<SystemAppearance>>);

impl AppearanceWatcher {
    /// Returns what the system asked for last.
    #[must_use]
    pub fn now(&self) -> SystemAppearance {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes another appearance over; returns whether it differs.
    pub fn update(&self, appearance: SystemAppearance) -> bool {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let differ = *known != appearance;
        *known = appearance;
        differ
    }

    /// Listens to the desktop from now on, beside the window. A desktop that
    /// does not tell is no fault: nothing is followed then.
    #[cfg(target_os = "linux")]
    pub fn listen(&self, ctx: &egui::Context) {
        let (watcher, ctx) = (self.clone(), ctx.clone());
        let update = move |appearance| {
            if watcher.update(appearance) {
                ctx.request_repaint();
            }
        };
        let thread = std::thread::Builder::new().name("appearance".into());
        let listening = thread.spawn(move || {
            pollster::block_on(async {
                let bus = zbus::Connection::session().await?;
                desktop::follow(&bus, update).await
            })
        });
        drop(listening);
    }

    /// Elsewhere the window toolkit tells dark or light by itself.
    #[cfg(not(target_os = "linux"))]
    pub fn listen(&self, _ctx: &egui::Context) {}
}

/// The Settings portal of the XDG desktop portal specification, version 2, its
/// namespace `org.freedesktop.appearance`
/// (<https://flatpak.github.io/xdg-desktop-portal/docs/>): `color-scheme` 1 is
/// dark and 2 light, `contrast` 1 is more, `reduced-motion` 1 is less.
#[cfg(target_os = "linux")]
mod desktop {
    use super::SystemAppearance;
    use futures_lite::StreamExt;
    use std::collections::HashMap;
    use zbus::zvariant::{OwnedValue, Value};
    use zbus::{Connection, Proxy};

    pub(super) const DESKTOP: &str = "org.freedesktop.portal.Desktop";
    pub(super) const OBJECT: &str = "/org/freedesktop/portal/desktop";
    const SETTINGS: &str = "org.freedesktop.portal.Settings";
    pub(super) const APPEARANCE: &str = "org.freedesktop.appearance";

    type Namespaces = HashMap<String, HashMap<String, OwnedValue>>;

    /// Passes the appearance on once and then each time it changes, for as long as
    /// the desktop is there.
    pub(super) async fn follow(bus: &Connection, update: impl Fn(SystemAppearance)) -> zbus::Result<()> {
        let settings = Proxy::new(bus, DESKTOP, OBJECT, SETTINGS).await?;
        // Listened for first, so that no change between is missed.
        let mut changes = settings.receive_signal("SettingChanged").await?;
        let all: Namespaces = settings.call("ReadAll", &([APPEARANCE].as_slice())).await?;
        let mut appearance = SystemAppearance::default();
        for (key, value) in all.get(APPEARANCE).into_iter().flatten() {
            take(&mut appearance, key, value);
        }
        update(appearance);
        while let Some(change) = changes.next().await {
            let body = change.body();
            let (namespace, key, value): (String, String, Value<'_>) = body.deserialize()?;
            if namespace == APPEARANCE {
                take(&mut appearance, &key, &value);
                update(appearance);
            }
        }
        Ok(())
    }

    fn take(appearance: &mut SystemAppearance, key: &str, value: &Value<'_>) {
        let Ok(value) = value.downcast_ref::<u32>() else { return };
        match key {
            "color-scheme" => {
                appearance.dark = match value {
                    1 => Some(true),
                    2 => Some(false),
                    _ => None,
                }
            }
            "contrast" => appearance.contrast = value == 1,
            "reduced-motion" => appearance.still = value == 1,
            _ => {}
        }
    }
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::desktop::{APPEARANCE, DESKTOP, OBJECT, follow};
    use super::*;
    use crate::app::portal::tests::Bus;
    use std::collections::HashMap;
    use std::sync::mpsc;
    use zbus::object_server::SignalEmitter;
    use zbus::zvariant::{OwnedValue, Value};

    struct Settings(HashMap<String, u32>);

    #[zbus::interface(name = "org.freedesktop.portal.Settings")]
    impl Settings {
        async fn read_all(&self, namespaces: Vec<String>) -> HashMap<String, HashMap<String, OwnedValue>> {
            assert_eq!(namespaces, [APPEARANCE]);
            let values = self.0.iter().map(|(key, value)| (key.clone(), OwnedValue::from(*value)));
            HashMap::from([(APPEARANCE.to_owned(), values.collect())])
        }

        #[zbus(signal)]
        async fn setting_changed(
            emitter: &SignalEmitter<'_>,
            namespace: &str,
            key: &str,
            value: Value<'_>,
        ) -> zbus::Result<()>;
    }

    #[test]
    fn what_the_desktop_asks_for_is_known_at_once_and_when_it_changes() {
        pollster::block_on(async {
            let bus = Bus::start();
            let service = bus.connect().await;
            let told = HashMap::from([("color-scheme".to_owned(), 1), ("contrast".to_owned(), 0)]);
            service.object_server().at(OBJECT, Settings(told)).await.unwrap();
            service.request_name(DESKTOP).await.unwrap();
            let client = bus.connect().await;
            let (send, received) = mpsc::channel();
            std::thread::spawn(move || {
                drop(pollster::block_on(follow(&client, move |appearance| {
                    let _ = send.send(appearance);
                })));
            });
            let next = || received.recv_timeout(std::time::Duration::from_secs(30)).unwrap();
            assert_eq!(next(), SystemAppearance { dark: Some(true), contrast: false, still: false });
            let emitter = SignalEmitter::new(&service, OBJECT).unwrap();
            for (namespace, key, value) in [
                ("org.example.else", "color-scheme", 2_u32),
                (APPEARANCE, "contrast", 1),
                (APPEARANCE, "reduced-motion", 1),
                (APPEARANCE, "color-scheme", 0),
            ] {
                Settings::setting_changed(&emitter, namespace, key, Value::from(value)).await.unwrap();
            }
            assert_eq!(next(), SystemAppearance { dark: Some(true), contrast: true, still: false });
            assert_eq!(next(), SystemAppearance { dark: Some(true), contrast: true, still: true });
            assert_eq!(next(), SystemAppearance { dark: None, contrast: true, still: true });
        });
    }

    #[test]
    fn a_desktop_that_does_not_tell_is_an_error_and_nothing_else() {
        pollster::block_on(async {
            let bus = Bus::start();
            assert!(follow(&bus.connect().await, |_| unreachable!()).await.is_err());
        });
    }
}
