#include "app/pages/figures/figure_actions.h"

#include <QDir>
#include <QFileDialog>
#include <QFileInfo>
#include <QListView>
#include <QSet>
#include <QStandardPaths>
#include <algorithm>

#include "app/pages/figures/export_dialogs.h"
#include "app/pages/figures/figure_list.h"
#include "app/pages/figures/figure_look.h"
#include "app/pages/figures/figure_rows.h"
#include "app/pages/figures/figures_page.h"

namespace beatwitness::app {

using namespace library;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

/// Names that no two figures share, in the order of `figures`.
QStringList fileNames(const LibraryContents::Rows<FigureId, FigureParticulars>& figures) {
    QStringList names;
    QSet<QString> taken;
    for (const auto& row : figures) {
        const QString name = fileNameOf(qt(row.is.name));
        QString own = name;
        for (int number = 2; taken.contains(own); ++number)
            own = QStringLiteral("%1-%2").arg(name).arg(number);
        taken.insert(own);
        names << own;
    }
    return names;
}

}  // namespace

FigureActions::FigureActions(LibraryDocument& library, FiguresPage& page, QObject* parent)
    : QObject(parent), library_(library), page_(page), exports_(library) {
    connectCommands();
    connect(&exports_, &FigureExports::written, this, &FigureActions::told);
    connect(&exports_, &FigureExports::failed, this,
            [this](const Fault& fault) { emit refused(tr("Nothing was exported"), qt(sentence(fault))); });
    connect(&exports_.runner(), &widgets::TaskRunner::cancelled, this,
            [this] { emit told(tr("Stopped"), tr("Nothing was exported.")); });
}

void FigureActions::connectCommands() {
    auto& commands = page_.commands();
    connect(&commands, &FigureCommands::newAsked, this, &FigureActions::add);
    connect(commands.duplicate, &QAction::triggered, this, &FigureActions::duplicate);
    connect(commands.rename, &QAction::triggered, this, &FigureActions::rename);
    connect(commands.moveUp, &QAction::triggered, this, [this] { move(-1); });
    connect(commands.moveDown, &QAction::triggered, this, [this] { move(1); });
    connect(commands.remove, &QAction::triggered, this, &FigureActions::remove);
    connect(commands.exportOne, &QAction::triggered, this, &FigureActions::askExport);
    connect(commands.exportAll, &QAction::triggered, this, &FigureActions::askExportAll);
    connect(commands.exportFilm, &QAction::triggered, this, &FigureActions::askFilm);
}

const FigureParticulars* FigureActions::figure() const {
    const auto id = page_.current();
    return id && library_.contents() ? library_.contents()->figure(*id) : nullptr;
}

void FigureActions::refresh() {
    auto& commands = page_.commands();
    const auto* is = figure();
    const bool writes = library_.canWrite() && !library_.isStoring();
    const auto row = page_.current() ? page_.model().indexOf(*page_.current()).row() : -1;
    commands.newMenu()->setEnabled(writes && page_.project());
    for (auto* action : {commands.duplicate, commands.rename, commands.remove})
        action->setEnabled(writes && is);
    commands.moveUp->setEnabled(writes && row > 0);
    commands.moveDown->setEnabled(writes && row >= 0 && row + 1 < page_.model().rowCount());
    commands.exportOne->setEnabled(is != nullptr);
    commands.exportAll->setEnabled(page_.model().rowCount() > 0);
    const auto* made = is ? page_.maker().of(*page_.current()) : nullptr;
    commands.exportFilm->setEnabled(made && made->figure && made->figure->motion);
}

void FigureActions::addFigure(const QString& what, const FigureParticulars& figure) {
    const auto id = library_.addFigure(what, figure);
    if (id) page_.setCurrent(*id);
}

void FigureActions::addView(const report::FigureRequest& request) {
    if (!library_.contents()) return;
    const auto row = figureRowOf(*library_.contents(), request);
    if (!row) {
        emit refused(tr("Nothing was added"),
                     tr("The library has no project \"%1\" any more.").arg(qt(request.project)));
        return;
    }
    addFigure(tr("new figure"), *row);
    emit told(tr("Added to the figures"), qt(row->name));
    emit added();
}

void FigureActions::add(report::FigureKind kind) {
    const auto project = page_.project();
    if (!project || !library_.contents()) return;
    addFigure(tr("new figure"), newFigure(*library_.contents(), *project, kind));
    emit added();
}

void FigureActions::duplicate() {
    const auto* is = figure();
    if (!is) return;
    auto copy = *is;
    copy.name = tr("%1 (copy)").arg(qt(copy.name)).toStdString();
    addFigure(tr("copy of the figure"), copy);
}

void FigureActions::rename() {
    if (const auto id = page_.current()) page_.list().edit(page_.model().indexOf(*id));
}

void FigureActions::move(int by) {
    const auto id = page_.current();
    if (!id || !page_.project()) return;
    auto rows = library_.contents()->figuresOf(*page_.project());
    const auto at = std::ranges::find(rows, *id, [](const auto& row) { return row.id; }) - rows.begin();
    const auto to = at + by;
    if (to < 0 || to >= std::ssize(rows)) return;
    std::swap(rows[static_cast<std::size_t>(at)], rows[static_cast<std::size_t>(to)]);
    // Places anew where they changed: they may have gaps, or be alike.
    std::vector<RowValue> values;
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (rows[i].is.place != static_cast<int>(i)) {
            rows[i].is.place = static_cast<int>(i);
            values.emplace_back(rows[i]);
        }
    library_.edit(tr("order of figures"), std::move(values));
}

void FigureActions::remove() {
    const auto id = page_.current();
    const auto* is = figure();
    if (!is) return;
    auto gone = *is;
    gone.deleted = true;
    library_.edit(tr("deletion of the figure %1").arg(qt(is->name)),
                  {RowOf<FigureId, FigureParticulars>{*id, std::move(gone)}});
}

QString FigureActions::folder() const {
    if (!lastFolder_.isEmpty()) return lastFolder_;
    return library_.isOpen() ? QFileInfo(library_.path()).absolutePath()
                             : QStandardPaths::writableLocation(QStandardPaths::PicturesLocation);
}

void FigureActions::rememberFolder(const QString& path) {
    lastFolder_ = path;
}

void FigureActions::exportTo(const QString& path) {
    if (const auto* is = figure()) exports_.writeFiles({{*is, path}});
}

void FigureActions::exportAllTo(const QString& folder, const QStringList& endings) {
    if (!page_.project()) return;
    const auto rows = library_.contents()->figuresOf(*page_.project());
    const auto names = fileNames(rows);
    std::vector<FigureFile> files;
    for (std::size_t i = 0; i < rows.size(); ++i)
        for (const auto& ending : endings)
            files.push_back(
                {rows[i].is,
                 QStringLiteral("%1/%2.%3").arg(folder, names[static_cast<qsizetype>(i)], ending)});
    exports_.writeFiles(std::move(files));
}

void FigureActions::askExport() {
    const auto* is = figure();
    if (!is) return;
    const bool print = is->look.size.ends_with("mm");
    const QString name = fileNameOf(qt(is->name)) + (print ? QStringLiteral(".pdf") : QStringLiteral(".png"));
    auto* dialog = new QFileDialog(page_.window(), tr("Export Figure"), folder());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setAcceptMode(QFileDialog::AcceptSave);
    dialog->setNameFilters({tr("PNG picture (*.png)"), tr("SVG drawing (*.svg)"), tr("PDF page (*.pdf)")});
    dialog->selectNameFilter(dialog->nameFilters().at(print ? 2 : 0));
    dialog->selectFile(name);
    connect(dialog, &QFileDialog::filterSelected, dialog, [dialog](const QString& filter) {
        dialog->setDefaultSuffix(filter.section(QStringLiteral("*."), 1).remove(QLatin1Char(')')));
    });
    dialog->setDefaultSuffix(print ? QStringLiteral("pdf") : QStringLiteral("png"));
    connect(dialog, &QFileDialog::fileSelected, this, [this](const QString& path) {
        rememberFolder(QFileInfo(path).absolutePath());
        exportTo(path);
    });
    dialog->open();
}

void FigureActions::askExportAll() {
    auto* dialog = new ExportAllDialog(page_.model().rowCount(), folder(), page_.window());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &QDialog::accepted, this, [this, dialog] {
        rememberFolder(dialog->folder());
        exportAllTo(dialog->folder(), dialog->endings());
    });
    dialog->open();
}

void FigureActions::askFilm() {
    const auto* is = figure();
    const auto* made = is ? page_.maker().of(*page_.current()) : nullptr;
    if (!made || !made->figure || !made->figure->motion) return;
    const auto size = sizeOf(is->look, made->figure->scene);
    if (!size) return;
    widgets::Film film{made->figure->scene, *made->figure->motion, *size, styleOf(is->look), {}, {}};
    film.options.length_s = widgets::usualLength_s(film.motion);
    auto* dialog = new FilmDialog(std::move(film), page_.window());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &QDialog::accepted, this, [this, dialog, figure = *is] {
        const QString ending = dialog->ending();
        const QString path = QFileDialog::getSaveFileName(
            page_.window(), tr("Export as Film"),
            QStringLiteral("%1/%2.%3").arg(folder(), fileNameOf(qt(figure.name)), ending),
            QStringLiteral("*.%1").arg(ending));
        if (path.isEmpty()) return;
        rememberFolder(QFileInfo(path).absolutePath());
        const bool ends = path.endsWith(QLatin1Char('.') + ending, Qt::CaseInsensitive);
        exports_.writeFilm(figure, ends ? path : path + QLatin1Char('.') + ending, dialog->options());
    });
    dialog->open();
}

}  // namespace beatwitness::app
