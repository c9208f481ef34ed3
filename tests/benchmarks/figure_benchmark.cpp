// What figures cost, one JSON line each: processor milliseconds, the least of several, and bytes of files.
//
// Goals: a 1080p still of 3 h with four devices 60 ms, a 4K map 100 ms, an SVG of an hour 300 kB, frames of a
// 1080p film at 30 a second faster than real time on two cores (66 ms of processor a frame, PNG included).
#include <QBuffer>
#include <QGuiApplication>
#include <algorithm>
#include <cstdio>
#include <ctime>

#include "core/report/figures/agreement_scenes.h"
#include "core/report/figures/session_scenes.h"
#include "tests/widgets/plots/demo_session.h"
#include "widgets/figures/motion_export.h"

using namespace beatwitness;

namespace {

constexpr int repeats = 7;

double processor_ms() {
    timespec time{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) * 1e3 + static_cast<double>(time.tv_nsec) * 1e-6;
}

template <class Work>
double least_ms(Work work) {
    double least = 1e9;
    for (int i = 0; i < repeats; ++i) {
        const double begun = processor_ms();
        work();
        least = std::min(least, processor_ms() - begun);
    }
    return least;
}

report::SessionWords wordsFor(int devices) {
    report::SessionWords words;
    words.title = "Intervals on the ergometer";
    for (int i = 0; i < devices; ++i)
        words.devices.push_back("device " + std::to_string(i + 1));
    return words;
}

widgets::FigureSize sizeOf(const char* text, const report::Scene& scene) {
    return *widgets::figureSizeOf(QString::fromLatin1(text), scene);
}

void measureStill() {
    const auto session = widgets_test::rowingSession(180, 4);
    const auto scene = report::overlayScene(*session, wordsFor(4), {});
    const auto size = sizeOf("1080p", scene);
    std::printf("{\"what\": \"1080p still, 3 h, four devices\", \"ms\": %.1f}\n",
                least_ms([&] { static_cast<void>(widgets::sceneImage(scene, size, {})); }));
}

void measureMap() {
    const auto session = widgets_test::rowingSession(180, 1);
    const auto scene = report::mapScene(agreement::densityMap(session->tests[0].view().pairs, 1), "band",
                                        report::Cells::Scale::Log, {"Map", "", "", ""});
    const auto size = sizeOf("4k", scene);
    std::printf("{\"what\": \"4K map\", \"ms\": %.1f}\n",
                least_ms([&] { static_cast<void>(widgets::sceneImage(scene, size, {})); }));
}

void measureVector() {
    const auto session = widgets_test::rowingSession(60, 1);
    const auto scene = report::overlayScene(*session, wordsFor(1), {});
    const auto bytes = widgets::sceneFile(scene, sizeOf("180mm", scene), widgets::FigureFormat::Svg, {}, {});
    std::printf("{\"what\": \"SVG of an hour\", \"kB\": %.0f}\n", static_cast<double>(bytes.size()) / 1000.0);
}

void measureFrame() {
    const auto session = widgets_test::rowingSession(60, 2);
    report::OverlayOptions options;
    options.mapBeside = true;
    widgets::Film film;
    film.scene = report::overlayScene(*session, wordsFor(2), options);
    film.motion = {0.0, 3600.0, true, report::pairsShown(*session, options)};
    film.size = sizeOf("1080p", film.scene);
    const auto middle = widgets::frameCount(film.options) / 2;
    std::printf("{\"what\": \"1080p frame of a film with its map\", \"ms\": %.1f, \"with_png_ms\": %.1f}\n",
                least_ms([&] { static_cast<void>(widgets::filmFrame(film, middle)); }), least_ms([&] {
                    QBuffer buffer;
                    buffer.open(QIODevice::WriteOnly);
                    widgets::filmFrame(film, middle).save(&buffer, "PNG", 90);
                }));
}

}  // namespace

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication application(argc, argv);
    measureStill();
    measureMap();
    measureVector();
    measureFrame();
    return 0;
}
