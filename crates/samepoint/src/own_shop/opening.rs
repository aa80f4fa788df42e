//! The picture of a graticule that a camera map's form asks for, opened by a worker; and which stations there are.

use paper::words::capital;
use record::Edited;

use super::form::Form;
use super::form::camera::STATION;
use super::form::desk::Opened;
use super::form::fields::FormWrong;
use crate::app::App;
use crate::dialogs::DialogAnswer;
use crate::jobs::Broken;
use crate::sheets::Sheet;
use crate::shell::refusals::NO_DIALOG;

impl App {
    /// A new camera map is offered the station on the bench, else the only one there is.
    pub(super) fn offer_station(&self, form: &mut Form) {
        let on_bench = self.session.as_ref().and_then(|session| session.state().station());
        let stations = &self.shell.shop.offers().stations;
        let only = stations.first().filter(|_| stations.len() == 1);
        let here = on_bench.filter(|here| stations.iter().any(|known| known.name == here.name));
        if let Some(station) = here.or(only)
            && form.before.is_none()
        {
            form.offer(STATION, &station.name);
        }
    }

    /// A camera map is of a station that the shop has, where its form says another than before.
    pub(super) fn known_station(
        &self,
        value: Edited,
        before: Option<&Edited>,
    ) -> Result<Edited, FormWrong> {
        let Edited::Camera(camera) = &value else { return Ok(value) };
        let same = matches!(before, Some(Edited::Camera(then)) if then.station == camera.station);
        let stations = &self.shell.shop.offers().stations;
        if same || stations.iter().any(|station| station.name == camera.station) {
            return Ok(value);
        }
        let names: Vec<String> =
            stations.iter().map(|station| format!("“{}”", station.name)).collect();
        let there = if names.is_empty() {
            "it has none yet; add the station first".to_owned()
        } else {
            format!("it has {}", names.join(", "))
        };
        let station = record::shown::one_line(&camera.station);
        let why = format!("The shop has no station “{station}”: {there}.");
        Err(FormWrong { key: Some(STATION), why })
    }

    /// Has the picture opened that the form names.
    pub(super) fn open_graticule(&mut self) {
        let Sheet::Edit(form) = &mut self.front else { return };
        let Some(desk) = &mut form.desk else { return };
        let Some(path) = desk.path.chosen() else {
            desk.path.refused = Some("Say which picture: type its path, or choose it.".to_owned());
            return;
        };
        desk.path.refused = None;
        desk.opening = true;
        let workers = self.shell.workers();
        self.graticule.start(&workers, move || Opened::of(path));
    }

    /// Hears what came of it.
    pub(crate) fn hear_graticule(&mut self) {
        let Some(heard) = self.graticule.hear() else { return };
        let all = std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by);
        // The form may have gone behind another sheet meanwhile.
        let mut forms = all.filter_map(|sheet| match sheet {
            Sheet::Edit(form) if form.desk.as_ref().is_some_and(|desk| desk.opening) => Some(form),
            _ => None,
        });
        let Some(form) = forms.next() else { return };
        match heard {
            Ok(Ok(opened)) => form.show_graticule(opened),
            Ok(Err(why)) => form.refuse_graticule(capital(&format!("{why}."))),
            Err(broken) => form.refuse_graticule(broken.to_string()),
        }
    }

    /// Hears which picture was chosen in a dialog, and opens it.
    pub(crate) fn hear_graticule_path(&mut self, answer: Result<DialogAnswer, Broken>) {
        let Sheet::Edit(form) = &mut self.front else { return };
        let Some(desk) = &mut form.desk else { return };
        desk.path.asking = false;
        match answer {
            Ok(DialogAnswer::Chosen(path)) => {
                desk.path.path = path.display().to_string();
                self.open_graticule();
            }
            Ok(DialogAnswer::Cancelled) => {}
            Ok(DialogAnswer::NoService) => desk.path.refused = Some(NO_DIALOG.to_owned()),
            Err(broken) => desk.path.refused = Some(broken.to_string()),
        }
    }
}
