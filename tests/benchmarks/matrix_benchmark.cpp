// The matrix of a library of 10,000 sessions of two recordings: how long until it is seen, and what a
// scrolled frame takes. Recordings are short here: opening reads none of them (library_benchmark has their
// cost).
//   QT_QPA_PLATFORM=offscreen tests/benchmarks/matrix_benchmark
#include <benchmark/benchmark.h>

#include <QApplication>
#include <QScrollBar>
#include <QTemporaryDir>
#include <cstdlib>
#include <cstring>

#include "app/document/headlines.h"
#include "app/pages/matrix/matrix_panel.h"
#include "core/recording/digest.h"

using namespace beatwitness;
using namespace beatwitness::app;

namespace {

constexpr int sessions = 10000;

std::shared_ptr<const library::ReadFile> fileOf(int session, char which) {
    library::ReadFile file;
    recording::Channel channel;
    for (int i = 0; i < 20; ++i) {
        channel.times.emplace_back(Micros{(std::int64_t{1930380000} + session * 7200 + i) * 1000000});
        channel.values.push_back(120 + (which == 'r' ? 0 : session % 12));
    }
    file.read.file = std::to_string(session) + which + ".fit";
    file.read.recording.rows = channel.values.size();
    file.read.recording.channels.push_back(std::move(channel));
    file.bytes.resize(file.read.file.size());
    std::memcpy(file.bytes.data(), file.read.file.data(), file.bytes.size());
    file.read.sha256 = recording::sha256(file.bytes);
    return std::make_shared<const library::ReadFile>(std::move(file));
}

QString filled(const QTemporaryDir& folder) {
    using library::Role;
    using library::WearingOutcome;
    const char* activities[] = {"rowing ergometer", "hill walk", "kettlebell circuit", "ride", "rest"};
    const QString path = folder.filePath(QStringLiteral("ten-thousand.beatwitness"));
    auto library = library::Library::open(path.toStdString(), {.createIfAbsent = true});
    auto batch = library->beginBatch();
    for (int i = 0; i < sessions; ++i) {
        library::SessionDraft draft;
        draft.name = "session " + std::to_string(i);
        draft.activity = activities[i % 5];
        draft.wearings.push_back(
            {Role::Reference, "strap", {}, WearingOutcome::Recorded, "", {{fileOf(i, 'r'), std::nullopt}}});
        draft.wearings.push_back(
            {Role::Test, "band", {}, WearingOutcome::Recorded, "", {{fileOf(i, 't'), std::nullopt}}});
        if (!batch->add(draft)) std::abort();
    }
    if (!batch->commit()) std::abort();
    return path;
}

/// A library, its numbers and the panel that shows them, as the window has them.
struct Side {
    QUndoStack undo;
    LibraryDocument library{undo};
    Headlines headlines{library};
    MatrixPanel panel{library, headlines};

    Side() { panel.resize(240, 1000); }
    void open(const QString& path) {
        library.open(path);
        while (!library.isOpen())
            QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
        panel.show();
        panel.grab();
    }
};

const QString& libraryPath() {
    static const QTemporaryDir folder;
    static const QString path = filled(folder);
    return path;
}

/// From the command to the first picture.
void openMatrix(benchmark::State& state) {
    const QString path = libraryPath();
    for (auto _ : state) {
        auto side = std::make_unique<Side>();
        side->open(path);
        state.PauseTiming();
        side.reset();
        state.ResumeTiming();
    }
}
BENCHMARK(openMatrix)->Unit(benchmark::kMillisecond)->Iterations(5);

/// Numbers of all sessions from what the library keeps of earlier analyses.
void fillFromKept(benchmark::State& state) {
    const QString path = libraryPath();
    {
        Side side;
        side.open(path);
        while (side.headlines.isBusy())
            QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
    }
    for (auto _ : state) {
        Side side;
        side.open(path);
        while (side.headlines.isBusy())
            QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
    }
}
BENCHMARK(fillFromKept)->Unit(benchmark::kMillisecond)->Iterations(3);

/// One wheel step further and drawn. 16.7 ms is 60 frames a second.
void scrolledFrame(benchmark::State& state) {
    Side side;
    side.open(libraryPath());
    while (side.headlines.isBusy())
        QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
    auto* bar = side.panel.view().verticalScrollBar();
    QImage frame(side.panel.view().viewport()->size(), QImage::Format_ARGB32_Premultiplied);
    for (auto _ : state) {
        bar->setValue((bar->value() + 97) % bar->maximum());
        side.panel.view().viewport()->render(&frame);
    }
}
BENCHMARK(scrolledFrame)->Unit(benchmark::kMillisecond);

/// A session renamed: stored, read back, shown.
void renameOne(benchmark::State& state) {
    Side side;
    side.open(libraryPath());
    while (side.headlines.isBusy())
        QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
    const auto id = side.library.contents()->sessions[5000]->id;
    int number = 0;
    for (auto _ : state) {
        auto is = side.library.particulars(id);
        is->name = "renamed " + std::to_string(number++);
        side.library.edit(QStringLiteral("rename"),
                          {library::RowOf<library::SessionId, library::SessionParticulars>{id, *is}});
    }
}
BENCHMARK(renameOne)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) {
    QApplication application(argc, argv);
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
