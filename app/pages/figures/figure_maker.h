#pragma once

#include <QImage>
#include <QObject>
#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/report/figures/figure_request.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

/// What a figure of the library came out as.
struct MadePicture {
    library::FigureParticulars from;
    std::shared_ptr<const report::MadeFigure> figure;  ///< nullptr where it could not be made
    std::optional<Fault> fault;                        ///< why
    report::FigureKind kind = report::FigureKind::Overlay;
    QString definition;
    QImage thumbnail;
};

/// Makes the figures of a project in the background, one at a time, those that are wanted first; makes them
/// again when what they show has changed. What was made before stays in sight until the new one is there.
class FigureMaker : public QObject {
    Q_OBJECT

public:
    /// In points of the screen.
    static constexpr QSize thumbnailSize{112, 66};

    explicit FigureMaker(LibraryDocument& library, QObject* parent = nullptr);

    /// These in this order; others are not made.
    void want(std::vector<library::FigureId> figures);
    /// nullptr where it was never made yet.
    [[nodiscard]] const MadePicture* of(library::FigureId figure) const;
    /// True while something that is wanted is not what it would come out as now.
    [[nodiscard]] bool isBusy() const;
    /// Everything is made again: for what changes without a word of the library, such as marks.
    void distrust();
    void setPixelRatio(double ratio) { pixelRatio_ = ratio; }

signals:
    void made(beatwitness::library::FigureId figure);

private:
    struct Entry {
        MadePicture picture;
        bool isStale = true;
    };
    using Reader = std::shared_ptr<library::Library>;
    struct Work {
        Reader reader;
        MadePicture picture;
        std::vector<library::StoredOutcome> fresh;
    };

    void follow(const LibraryChange& change);
    void forget();
    void goOn();
    [[nodiscard]] bool isCurrent(library::FigureId figure) const;
    void take(library::FigureId figure, Work work, int generation);
    [[nodiscard]] static Work make(Work work, const std::string& path, double pixelRatio,
                                   const RunControl& run);

    LibraryDocument& library_;
    std::map<library::FigureId, Entry> entries_;
    std::vector<library::FigureId> wanted_;
    Reader reader_;  ///< of the worker while it runs
    int generation_ = 0;
    double pixelRatio_ = 1.0;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
