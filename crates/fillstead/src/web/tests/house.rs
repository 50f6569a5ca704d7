//! What the tests of pages share: a book in a folder of its own, and asking the router.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use tower::ServiceExt;

use crate::usecase::book::add;
use crate::usecase::book::begin::{Asked, begin};
use crate::usecase::book::desk::Who;
use crate::usecase::book::form::{Form, Given};
use crate::web::scratch::Scratch;
use crate::web::{App, router};

/// A book, and the folder that goes with it.
pub struct House {
    app: Arc<App>,
    router: Router,
    _folder: Scratch,
}

/// What was answered.
pub struct Answer {
    pub status: StatusCode,
    pub text: String,
    pub to: String,
    pub policy: String,
}

/// Nobody of that name exists.
const WHO: Who<'static> = Who {
    by: Some("MK"),
    at: None,
    zone: Some("Europe/Dublin"),
};

fn stations() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../stations")
}

impl House {
    /// A book of this station file, by British rule and European standard.
    pub fn of(station: Option<&str>) -> House {
        let folder = Scratch::new().unwrap();
        let book = folder.file("a.book");
        let station = station.map(|name| stations().join(name));
        let asked = Asked {
            station: station.as_deref(),
            name: Some("A shed"),
            rule: Some("uk"),
            standard: Some("EN 12021"),
            ..Asked::default()
        };
        assert!(begin(&book, &asked, &WHO).is_ok());
        let app = Arc::new(App::of(book));
        House {
            router: router(app.clone()),
            app,
            _folder: folder,
        }
    }

    /// Where it is.
    pub fn book(&self) -> &Path {
        &self.app.book
    }

    /// Puts an entry in.
    pub fn add(&self, form: &str, given: &[(&str, &str)]) -> u64 {
        let own = |(name, text): &(&str, &str)| ((*name).to_owned(), (*text).to_owned());
        let given: Given = given.iter().map(own).collect();
        let form = Form::named(form).unwrap();
        add::add(&self.app.book, form, &given, &WHO)
            .map(|added| added.seq)
            .unwrap()
    }

    /// A cylinder of 12 L, tested lately.
    pub fn cylinder(&self, id: &str) {
        let lately =
            (insight::upkeep::date_of((crate::usecase::clock::now().0 / 86_400_000_000) - 200))
                .unwrap()
                .to_string();
        self.add(
            "cylinder",
            &[
                ("cylinder", id),
                ("water-volume", "12 L"),
                ("working-pressure", "232 bar"),
                ("material", "steel"),
                ("made", "2015-01"),
                ("tested", &lately),
                ("visual", &lately),
            ],
        );
    }

    async fn ask(&self, request: Request<Body>) -> Answer {
        let answer = self.router.clone().oneshot(request).await.unwrap();
        let header = |name: &str| {
            let value = answer.headers().get(name);
            value
                .and_then(|v| v.to_str().ok())
                .unwrap_or_default()
                .to_owned()
        };
        let (to, policy) = (header("location"), header("content-security-policy"));
        let status = answer.status();
        let body = to_bytes(answer.into_body(), usize::MAX).await.unwrap();
        Answer {
            status,
            text: String::from_utf8_lossy(&body).into_owned(),
            to,
            policy,
        }
    }

    /// Asks for a page.
    pub async fn get(&self, path: &str) -> Answer {
        let request = Request::get(path).header("host", "localhost");
        self.ask(request.body(Body::empty()).unwrap()).await
    }

    /// Asks for a page that is there.
    pub async fn page(&self, path: &str) -> String {
        let answer = self.get(path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
        answer.text
    }

    /// Sends a form.
    pub async fn post(&self, path: &str, given: &[(&str, &str)]) -> Answer {
        let body = crate::web::address::with("", given);
        let request = Request::post(path)
            .header("host", "localhost")
            .header("sec-fetch-site", "same-origin")
            .header("content-type", "application/x-www-form-urlencoded");
        self.ask(
            request
                .body(Body::from(body.trim_start_matches('?').to_owned()))
                .unwrap(),
        )
        .await
    }

    /// Sends a form with a file.
    pub async fn send(
        &self,
        path: &str,
        given: &[(&str, &str)],
        (name, bytes): (&str, impl AsRef<[u8]>),
    ) -> Answer {
        let mut body = String::new();
        for (name, text) in given {
            body += &format!(
                "--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n"
            );
        }
        let mut body = body.into_bytes();
        if !name.is_empty() {
            let head = format!(
                "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\r\n"
            );
            body.extend(head.as_bytes());
            body.extend(bytes.as_ref());
            body.extend(b"\r\n");
        }
        body.extend(b"--b--\r\n");
        self.parts(path, body).await
    }

    /// Sends these very bytes as a form in parts, parted by `b`.
    pub async fn parts(&self, path: &str, body: Vec<u8>) -> Answer {
        let request = Request::post(path)
            .header("host", "localhost")
            .header("sec-fetch-site", "same-origin")
            .header("content-type", "multipart/form-data; boundary=b");
        self.ask(request.body(Body::from(body)).unwrap()).await
    }
}

/// Runs a test that asks pages.
pub fn run(test: impl Future<Output = ()>) {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build();
    runtime.unwrap().block_on(test);
}

/// The value of the hidden input of this name.
pub fn hidden(page: &str, name: &str) -> Option<String> {
    let (_, rest) = page.split_once(&format!("name=\"{name}\" value=\""))?;
    Some(rest.split_once('"')?.0.to_owned())
}
