//! The pictures that forms ask for, opened by a worker: of a graticule, of the shop's papers; and which stations there
//! are.

use paper::words::capital;
use record::Edited;

use super::form::Form;
use super::form::camera::STATION;
use super::form::desk::Opened;
use super::form::fields::{FormWrong, WHICH_PICTURE};
use super::form::head_picture::{self, PATH};
use crate::app::App;
use crate::dialogs::DialogAnswer;
use crate::jobs::Broken;
use crate::sheets::Sheet;
use crate::shell::path_sheet::typed_path;
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
            desk.path.refused = Some(WHICH_PICTURE.to_owned());
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

    /// Has the picture opened that is to stand on the shop's papers.
    pub(super) fn open_head_picture(&mut self) {
        let Sheet::Edit(form) = &mut self.front else { return };
        let Some(desk) = &mut form.head else { return };
        let Some(path) = typed_path(&form.fields.text(PATH)) else {
            form.wrong = Some(FormWrong { key: Some(PATH), why: WHICH_PICTURE.to_owned() });
            return;
        };
        (form.wrong, desk.opening) = (None, true);
        let workers = self.shell.workers();
        self.head_picture.start(&workers, move || head_picture::OpenedHead::of(path));
    }

    /// Whether a form is kept only when its picture is open: it is looked at first.
    pub(super) fn opens_before_keeping(&mut self) -> bool {
        let Sheet::Edit(form) = &mut self.front else { return false };
        let Some(desk) = &mut form.head else { return false };
        if desk.wants_opening(&form.fields).is_none() {
            return false;
        }
        desk.keep_then = true;
        if !desk.opening {
            self.open_head_picture();
        }
        true
    }

    /// Hears what came of it.
    pub(crate) fn hear_head_picture(&mut self) {
        let Some(heard) = self.head_picture.hear() else { return };
        let at_front = matches!(&self.front, Sheet::Edit(form) if form.head.is_some());
        let all = std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by);
        let mut forms = all.filter_map(|sheet| match sheet {
            Sheet::Edit(form) if form.head.as_ref().is_some_and(|desk| desk.opening) => Some(form),
            _ => None,
        });
        let Some(form) = forms.next() else { return };
        let Some(desk) = &mut form.head else { return };
        desk.opening = false;
        let keeps = std::mem::take(&mut desk.keep_then);
        let why = match heard {
            Ok(Ok(opened)) => {
                desk.opened = Some(opened);
                None
            }
            Ok(Err(why)) => Some(capital(&format!("{why}."))),
            Err(broken) => Some(broken.to_string()),
        };
        let opened = why.is_none();
        form.show_wrong = !opened;
        form.wrong = why.map(|why| FormWrong { key: Some(PATH), why });
        // Another path may have been typed meanwhile: that is opened first.
        if opened && keeps && at_front {
            self.keep_form();
        }
    }

    /// Hears which picture was chosen in a dialog for the shop's papers, and opens it.
    fn hear_head_picture_path(&mut self, answer: Result<DialogAnswer, Broken>) {
        let Sheet::Edit(form) = &mut self.front else { return };
        let Some(desk) = &mut form.head else { return };
        desk.asking = false;
        let why = match answer {
            Ok(DialogAnswer::Chosen(path)) => {
                form.fields.fill(PATH, &path.display().to_string());
                return self.open_head_picture();
            }
            Ok(DialogAnswer::Cancelled) => return,
            Ok(DialogAnswer::NoService) => NO_DIALOG.to_owned(),
            Err(broken) => broken.to_string(),
        };
        form.wrong = Some(FormWrong { key: Some(PATH), why });
    }

    /// Hears which picture was chosen in a dialog, and opens it.
    pub(crate) fn hear_graticule_path(&mut self, answer: Result<DialogAnswer, Broken>) {
        if matches!(&self.front, Sheet::Edit(form) if form.head.is_some()) {
            return self.hear_head_picture_path(answer);
        }
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
