#pragma once

#include <QObject>
#include <functional>
#include <optional>

#include "app/document/library_document.h"
#include "app/pages/figures/figure_exports.h"
#include "core/report/figures/figure_request.h"

namespace beatwitness::app {

class FiguresPage;

/// What the commands of figures do: every change is one undo step of the library.
class FigureActions : public QObject {
    Q_OBJECT

public:
    FigureActions(LibraryDocument& library, FiguresPage& page, QObject* parent);

    [[nodiscard]] FigureExports& exports() { return exports_; }
    /// Which commands make sense now.
    void refresh();

    /// Adds what a view shows to the project that `request` names.
    void addView(const report::FigureRequest& request);
    void add(report::FigureKind kind);
    void duplicate();
    void rename();
    /// By one place: -1 up, 1 down.
    void move(int by);
    void remove();
    /// Into `folder`, a file each, named after the figures; `ending` is png, svg or pdf.
    void exportAllTo(const QString& folder, const QStringList& endings);
    void exportTo(const QString& path);

signals:
    void told(const QString& headline, const QString& sentence);
    void refused(const QString& headline, const QString& sentence);
    /// A view was added; the page shows it.
    void added();

private:
    void connectCommands();
    [[nodiscard]] const library::FigureParticulars* figure() const;
    void addFigure(const QString& what, const library::FigureParticulars& figure);
    void askExport();
    void askExportAll();
    void askFilm();
    [[nodiscard]] QString folder() const;
    void rememberFolder(const QString& path);

    LibraryDocument& library_;
    FiguresPage& page_;
    FigureExports exports_;
    QString lastFolder_;
};

}  // namespace beatwitness::app
