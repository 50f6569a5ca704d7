//! Pages of the air, asked through the router.

use axum::http::StatusCode;

use crate::web::tests::{House, Page, ask, request, run, send, server, wait};
use axum::http::Method;

/// EN 12021:2014 allows 5 ppm of carbon monoxide (the limits of the program name the source).
const GOOD: &str = "/air?standard=EN+12021&sampled=2026-05-04&oxygen=20.9+%25&carbon-monoxide=1+ppm&carbon-dioxide=400+ppm&oil=0.1+mg%2Fm3&water=20+mg%2Fm3&odour=none&liquid-water=none&point=outlet&cylinder-pressure=232+bar";

#[test]
fn results_are_held_against_limits() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let page = house.page(GOOD).await;
        assert!(
            page.contains("Every limit is kept by this sample"),
            "{page}"
        );
        assert!(page.contains("Result against limits") && page.contains("<svg"));
        let page = house
            .page(&GOOD.replace("monoxide=1+ppm", "monoxide=9+ppm"))
            .await;
        assert!(
            page.contains("A limit is broken: fill nothing") && page.contains("What to set aside"),
            "{page}"
        );
        let page = house
            .page("/air?standard=EN+12021&carbon-monoxide=much")
            .await;
        assert!(
            page.contains("id=\"mh-carbon-monoxide\">") && page.contains("value=\"much\""),
            "{page}"
        );
    });
}

#[test]
fn a_failed_test_is_kept_locks_and_shows_its_way() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let given = [
            ("standard", "EN 12021"),
            ("carbon-monoxide", "9 ppm"),
            ("laboratory", "<b>lab</b> \"x\""),
            ("by", "MK"),
        ];
        let sent = house.post("/air/keep", &given).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let page = house.page(&sent.to).await;
        assert!(
            page.contains("Filling is locked until") && page.contains("/book/add/cause?of="),
            "{page}"
        );
        assert!(!page.contains("<b>lab</b>"), "{page}");
        assert!(house.page("/book").await.contains("Nothing is filled"));
        let entry = sent.to.rsplit('/').next().unwrap_or_default();
        house
            .page(&format!("/print/certificate?test={entry}"))
            .await;
        assert_eq!(house.get("/air/test/1").await.status, StatusCode::NOT_FOUND);
        let nobody = house.post("/air/keep", &given[..2]).await;
        assert_eq!(nobody.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            nobody.text.contains("value=\"9 ppm\""),
            "what was typed is lost"
        );
    });
}

#[test]
fn quantities_are_drawn_over_tests() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        for (day, amount) in [("2026-01-04", "1 ppm"), ("2026-04-04", "2 ppm ± 0.5 ppm")] {
            let sent = house
                .post(
                    "/air/keep",
                    &[
                        ("standard", "EN 12021"),
                        ("sampled", day),
                        ("carbon-monoxide", amount),
                        ("by", "MK"),
                    ],
                )
                .await;
            assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        }
        let page = house.page("/air").await;
        assert!(
            page.contains("How each quantity moves") && page.contains("Carbon monoxide, ppm"),
            "{page}"
        );
        assert!(page.contains("1.5 and 2.5"), "{page}");
    });
}

/// 1 ppm of CO is 28.010 g/mol over 24.055 L/mol at 20 °C and 1 atm: 1.164 mg/m³ (handbook value 1.16).
#[test]
fn the_box_converts() {
    run(async {
        let house = House::of(None);
        let page = house.page("/air?amount=10+ppm&of=co").await;
        assert!(page.contains("11.6 mg/m³"), "{page}");
        let page = house.page("/air?amount=lots&of=co").await;
        assert!(page.contains("is not an amount of"), "{page}");
    });
}

async fn sent(house: &House, text: &str, file: Option<&[u8]>, standard: &str) -> Page {
    let given = [("results", text), ("standard", standard)];
    let file = ("<b>lab</b>.csv", file.unwrap_or_default());
    house.send("/air/results", &given, file).await
}

#[test]
fn a_text_or_a_file_is_judged_kept_and_printed_as_typed_results_are() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let table = "date;2026-05-04\r\ncarbon monoxide;9;ppm\r\nlaboratory;<i>lab</i>\r\n";
        let page = sent(&house, table, None, "").await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        for part in [
            "A limit is broken: fill nothing",
            "What to set aside",
            "date;2026-05-04",
        ] {
            assert!(page.text.contains(part), "{part}: {}", page.text);
        }
        assert!(!page.text.contains("<i>lab"), "{}", page.text);
        // The file counts before the text; Windows letters are read.
        let file = b"Parameter,Result,Unit\nCarbon monoxide,1,ppm\nWater,-8 \xb0C at 200 bar,\n";
        let page = sent(&house, "co, 9 ppm", Some(file), "EN 12021").await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        assert!(page.text.contains("-8 °C at 200 bar") && !page.text.contains("9 ppm"));
        let given = [("results", table), ("standard", "EN 12021"), ("by", "MK")];
        let kept = house.post("/air/keep", &given).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
        let page = house.page(&kept.to).await;
        for part in [
            "Filling is locked until",
            "# carbon monoxide;9;ppm",
            "Under every standard",
        ] {
            assert!(page.contains(part), "{part}: {page}");
        }
        let entry = kept.to.rsplit('/').next().unwrap_or_default();
        let sheet = house
            .page(&format!("/print/certificate?test={entry}"))
            .await;
        assert!(
            sheet.contains("9 ppm") && !sheet.contains("<i>lab"),
            "{sheet}"
        );
    });
}

#[test]
fn each_problem_of_a_text_has_its_line_and_the_text_stays() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let text = "# \"x\" </textarea><script>evil()</script>\noxigen, 20.9 %\nco\nodour, none";
        let page = sent(&house, text, None, "EN 12021").await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for part in [
            "Line 2: &#34;oxigen&#34; is nothing an air test measures. Did you mean",
            "Line 3: no value stands beside",
            "oxigen, 20.9 %\nco\nodour, none</textarea>",
        ] {
            assert!(page.text.contains(part), "{part}: {}", page.text);
        }
        assert!(!page.text.contains("<script>evil"), "{}", page.text);
        let given = [("results", text), ("standard", "EN 12021"), ("by", "MK")];
        let kept = house.post("/air/keep", &given).await;
        assert_eq!(kept.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            kept.text.contains("odour, none</textarea>"),
            "{}",
            kept.text
        );
        for (text, standard, says) in [
            (
                "[results]\nco = 8 ppm\n",
                "EN 12021",
                "Line 2: this cannot be read",
            ),
            (
                "[sample]\ninvented = true\n",
                "",
                "The table [results] is missing",
            ),
            ("", "", "No result is given"),
            ("co, 1 ppm", "EN 99999", "No standard called"),
        ] {
            let page = sent(&house, text, None, standard).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{text}");
            assert!(page.text.contains(says), "{text}: {}", page.text);
        }
        assert!(house.page("/air").await.contains("No air test yet"));
    });
}

#[test]
fn what_is_no_text_or_too_large_is_refused_with_its_reason() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let large = b"co, 1 ppm\n".repeat(7000);
        for (file, status, says) in [
            (&b"\x7fELF\0\xff\0\x01"[..], 422, "neither a text"),
            (b"co, 1 ppm\x1b[2J", 422, "signs that nobody types"),
            (&large, 422, "never take 70 kB"),
            (&b"x".repeat(5 << 20), 413, "Nothing larger than 4 MiB"),
        ] {
            let page = sent(&house, "", Some(file), "EN 12021").await;
            assert_eq!(page.status.as_u16(), status, "{says}: {}", page.text);
            assert!(page.text.contains(says), "{says}: {}", page.text);
        }
        let cut = house
            .parts("/air/results", b"--b\r\nContent-".to_vec())
            .await;
        assert!(cut.status.is_client_error(), "{}", cut.status);
        let plain = house
            .post("/air/results", &[("results", "co, 1 ppm")])
            .await;
        assert!(plain.status.is_client_error(), "{}", plain.status);
    });
}

/// EN 12021:2014 allows 5 ppm of carbon monoxide and 29 CFR 1910.134(i)(1)(ii) 10 ppm, and from
/// 19.5 % of oxygen on where EN 12021 has 20 %: 19.8 % and 8 ppm lie between.
#[test]
fn standards_stand_side_by_side_and_none_says_safe() {
    run(async {
        let house = House::of(Some("boathouse.toml"));
        let page = sent(&house, "oxygen, 19.8 %\nco, 8 ppm", None, "")
            .await
            .text;
        let table = page.split("class=\"beside\"").nth(1).unwrap();
        let table = table.split("</table>").next().unwrap();
        let heads = table.split("</thead>").next().unwrap();
        assert!(
            heads.contains("EN 12021<span class=\"hint\">2014; chosen here"),
            "{heads}"
        );
        assert_eq!(heads.matches("<th scope=\"col\"").count(), 14, "{heads}");
        let row = |name: &str| {
            let row = table
                .split("<th scope=\"row\">")
                .find(|row| row.starts_with(name));
            row.unwrap().to_owned()
        };
        let cell = |row: &str, at: usize| row.split("<td").nth(at).unwrap().to_owned();
        let american = heads
            .split("<th scope=\"col\"")
            .position(|h| h.contains("29 CFR 1910.134"));
        let american = american.unwrap() - 1;
        let (co, oxygen) = (row("Carbon monoxide"), row("Oxygen"));
        assert!(
            co.contains("8 ppm") && cell(&co, 1).contains("above"),
            "{co}"
        );
        assert!(cell(&co, 1).contains("(unverified)"), "{co}");
        assert!(cell(&co, american).contains("within"), "{co}");
        assert!(cell(&oxygen, 1).contains("below"), "{oxygen}");
        assert!(cell(&oxygen, american).contains("within"), "{oxygen}");
        assert!(row("Oil").contains("not measured") && row("Oil").contains("cannot tell"));
        assert!(!table.to_lowercase().contains("safe"), "{table}");
    });
}

#[test]
fn an_onlooker_looks_at_results_and_keeps_none() {
    let server = server(true);
    let onna = server.cookie("Onna");
    wait(async {
        let form = "results=co,+1+ppm&standard=EN+12021&by=Kees";
        let kept = send(&server.router, "/air/keep", &onna, form).await;
        assert_eq!(kept.status, StatusCode::FORBIDDEN);
        let body =
            "--b\r\nContent-Disposition: form-data; name=\"results\"\r\n\r\nco, 1 ppm\r\n--b--\r\n";
        for (cookie, status) in [
            (onna.as_str(), 200),
            ("", 401),
            ("fillstead_session=x", 401),
        ] {
            let kind = "multipart/form-data; boundary=b";
            let headers = [("cookie", cookie), ("content-type", kind)];
            let asked = request(Method::POST, "/air/results", &headers, body);
            let answer = ask(&server.router, asked).await;
            assert_eq!(answer.status.as_u16(), status, "{}", answer.text);
        }
    });
}
