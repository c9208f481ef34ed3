#pragma once

#include <QObject>
#include <vector>

#include "app/document/library_document.h"
#include "widgets/background/task_runner.h"
#include "widgets/figures/motion_export.h"

namespace beatwitness::app {

/// A figure and the file it is to become.
struct FigureFile {
    library::FigureParticulars figure;
    QString path;
};

/// Writes figures into files in the background, made from the library as it stands: all or, stopped or
/// failed, none of them.
class FigureExports : public QObject {
    Q_OBJECT

public:
    explicit FigureExports(LibraryDocument& library, QObject* parent = nullptr);

    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }
    void writeFiles(std::vector<FigureFile> files);
    void writeFilm(const library::FigureParticulars& figure, const QString& path,
                   const widgets::MotionOptions& options);

signals:
    void written(const QString& headline, const QString& sentence);
    void failed(const beatwitness::Fault& fault);

private:
    LibraryDocument& library_;
    widgets::TaskRunner runner_;
};

}  // namespace beatwitness::app
