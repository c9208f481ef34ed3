#include "app/pages/figures/figure_maker.h"

#include <algorithm>
#include <utility>

#include "app/pages/figures/figure_look.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness::app {

using namespace library;

namespace {

/// The figure as small as a list shows it, in its own look.
QImage thumbnailOf(const report::Scene& scene, const FigureLook& look, double pixelRatio) {
    const auto size = sizeOf(look, scene);
    if (!size) return {};
    auto small = *size;
    const QSizeF room = QSizeF(FigureMaker::thumbnailSize) * pixelRatio;
    small.pixelsPerPoint = std::min(room.width() / small.paper.width(), room.height() / small.paper.height());
    // Drawn twice as large and brought down: thin lines stay in sight.
    small.pixelsPerPoint *= 2.0;
    auto style = styleOf(look);
    style.transparent = false;  // a list has a ground of its own
    const QImage large = widgets::sceneImage(scene, small, style);
    QImage image = large.scaled(large.size() / 2, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
    image.setDevicePixelRatio(pixelRatio);
    return image;
}

}  // namespace

FigureMaker::FigureMaker(LibraryDocument& library, QObject* parent) : QObject(parent), library_(library) {
    connect(&library_, &LibraryDocument::closed, this, &FigureMaker::forget);
    connect(&library_, &LibraryDocument::opened, this, &FigureMaker::forget);
    connect(&library_, &LibraryDocument::changed, this, &FigureMaker::follow);
}

void FigureMaker::want(std::vector<FigureId> figures) {
    wanted_ = std::move(figures);
    goOn();
}

const MadePicture* FigureMaker::of(FigureId figure) const {
    const auto found = entries_.find(figure);
    return found == entries_.end() ? nullptr : &found->second.picture;
}

bool FigureMaker::isBusy() const {
    return library_.isOpen() &&
           std::ranges::any_of(wanted_, [this](FigureId figure) { return !isCurrent(figure); });
}

bool FigureMaker::isCurrent(FigureId figure) const {
    const auto* is = library_.contents() ? library_.contents()->figure(figure) : nullptr;
    if (!is) return true;
    const auto found = entries_.find(figure);
    if (found == entries_.end() || found->second.isStale) return false;
    const auto& from = found->second.picture.from;
    return from.content == is->content && from.texts == is->texts && from.look == is->look;
}

void FigureMaker::distrust() {
    ++generation_;
    for (auto& [figure, entry] : entries_)
        entry.isStale = true;
    goOn();
}

/// An edit of a figure is seen by its definition; whatever else changes may be in any of them.
void FigureMaker::follow(const LibraryChange& change) {
    const bool isFiguresAlone = !change.everything && change.sessions.empty() && change.wearers.empty() &&
                                change.devices.empty() && change.activities.empty() &&
                                change.projects.empty();
    isFiguresAlone ? goOn() : distrust();
}

void FigureMaker::forget() {
    runner_.cancel();
    ++generation_;
    reader_.reset();
    entries_.clear();
    wanted_.clear();
}

FigureMaker::Work FigureMaker::make(Work work, const std::string& path, double pixelRatio,
                                    const RunControl& run) {
    auto& picture = work.picture;
    const auto failed = [&](const Fault& fault) {
        picture.fault = fault;
        return std::move(work);
    };
    if (!work.reader) {
        auto opened = Library::open(path, {.write = false});
        if (!opened) return failed(opened.fault());
        work.reader = std::make_shared<Library>(std::move(*opened));
    }
    const auto request = report::requestOf(*work.reader, picture.from);
    if (!request) return failed(request.fault());
    picture.kind = request->kind;
    auto figure = report::makeFigure(*work.reader, *request, run);
    if (!figure) return failed(figure.fault());
    picture.definition = QString::fromStdString(report::figureDefinition(*work.reader, *request));
    work.fresh = std::move(figure->fresh);
    picture.figure = std::make_shared<const report::MadeFigure>(std::move(*figure));
    picture.thumbnail = thumbnailOf(picture.figure->scene, picture.from.look, pixelRatio);
    return work;
}

void FigureMaker::goOn() {
    if (runner_.busy() || !library_.isOpen()) return;
    const auto next = std::ranges::find_if(wanted_, [this](FigureId figure) { return !isCurrent(figure); });
    if (next == wanted_.end()) return;
    Work work{reader_, {*library_.contents()->figure(*next), {}, {}, {}, {}, {}}, {}};
    runner_.run(
        tr("Drawing figures …"),
        [work, path = library_.path().toStdString(), ratio = pixelRatio_](const RunControl& run) {
            return make(work, path, ratio, run);
        },
        [this, figure = *next, generation = generation_](Work done) {
            take(figure, std::move(done), generation);
        });
}

void FigureMaker::take(FigureId figure, Work work, int generation) {
    reader_ = std::move(work.reader);
    auto& entry = entries_[figure];
    entry.picture = std::move(work.picture);
    entry.isStale = generation != generation_;
    library_.keepOutcomes(work.fresh);
    emit made(figure);
    // The runner is still busy until this delivery is over.
    QMetaObject::invokeMethod(this, &FigureMaker::goOn, Qt::QueuedConnection);
}

}  // namespace beatwitness::app
